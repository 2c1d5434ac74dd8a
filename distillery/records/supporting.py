"""Supporting data: corrections, acts without quantities, readings, and every movement.

27 CFR 19.571, 19.576, 19.581. An entry is never changed: a correction is a new one.
"""

from collections.abc import Iterator

from distillery.devices import by_whom
from distillery.models import BarrelAct, Reading, Remark, StillReading
from distillery.pages.sentences import of_movement
from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import (
    joined,
    serial,
    told,
)
from distillery.records.span import Span
from distillery.tables import operation_title


def corrections(span: Span) -> Iterator[Row]:
    """Each entry that takes back or corrects another, with its reason."""
    for entry in span.entries:
        other = entry.reverses or entry.corrects
        if other is not None:
            yield Row({
                "date": span.day(entry.happened_at),
                "what": operation_title(entry.operation),
                "of": f"{operation_title(other.operation)}, entry No. {other.number}",
                "reason": entry.reason or None,
                "change": joined(str(of_movement(row)) for row in span.legs(entry)),
            }, entry)  # fmt: skip


def other_acts(span: Span) -> Iterator[Row]:
    """Entries that move nothing in the book, by what they say."""
    remarks = {
        row.entry_id: (row.get_kind_display(), row.words)
        for row in Remark.objects.filter(premises=span.premises, at__gte=span.start,
                                         at__lt=span.end)
    }  # fmt: skip
    acts: dict[int, list[str]] = {}
    for act in BarrelAct.objects.filter(
        premises=span.premises, at__gte=span.start, at__lt=span.end
    ).select_related("vessel"):
        words = joined((act.place, act.words))
        acts.setdefault(act.entry_id, []).append(
            f"{act.vessel.code} {act.get_kind_display()}" + (f", {words}" if words else "")
        )
    for entry in span.entries:
        if span.legs(entry) and entry.pk not in acts:
            continue
        form = span.form(entry)
        yield Row({
            "date": span.day(entry.happened_at),
            "what": operation_title(entry.operation),
            "record": serial(entry),
            "vessel": told(form, "vessel", "still", "run", "place"),
            "words": joined((*remarks.get(entry.pk, ()), *acts.get(entry.pk, ()),
                             *(told(form, name) for name in (
                                 "kind", "why", "text", "effective_from", "effective_to",
                                 "reference", "conveyance", "signed_for", "lost", "note")))),
        }, entry)  # fmt: skip


def readings(span: Span) -> Iterator[Row]:
    """Still logs and ferment readings: small rows beside the book."""
    rows = Reading.objects.filter(premises=span.premises, at__gte=span.start, at__lt=span.end)
    related = ("vessel", "lot", "still_reading__receiver", "void")
    for row in rows.select_related(*related).order_by("at", "pk"):
        still = getattr(row, "still_reading", None)
        yield Row({
            "date": span.moment(row.at)[:10],
            "time": span.moment(row.at)[11:],
            "vessel": row.vessel.code,
            "lot": row.lot.code if row.lot else None,
            "gravity": row.gravity,
            "temperature_f": row.temperature_f,
            "ph": row.ph,
            "proof": row.proof,
            **(_at_the_still(still) if still else {}),
            "note": row.note or None,
            "voided": _voided(row, span),
            "happened": span.moment(row.at),
            "recorded": f"{span.moment(row.recorded_at)} {by_whom(row)}",
        })  # fmt: skip


def _voided(row: Reading, span: Span) -> Cell:
    void = getattr(row, "void", None)
    return f"{span.moment(void.recorded_at)} {void.by}: {void.reason}" if void else None


def _at_the_still(still: StillReading) -> dict[str, Cell]:
    """What is read at a running still beside the figures every reading has."""
    return {
        "condenser_f": still.condenser_f,
        "rate_gal_h": still.rate_gal_h,
        "level_gal": still.level_gal,
        "cut": joined((still.cut, still.receiver.code if still.receiver else None)),
    }


CORRECTIONS = Kind(
    slug="corrections",
    title="Entries taken back or corrected",
    section="27 CFR 19.576",
    rows=corrections,
    columns=(
        Column("date", "Counts on", 9),
        Column("what", "What", 12),
        Column("of", "Of", 18),
        Column("reason", "Reason", 22),
        Column("change", "What it changed", 34),
    ),
    operations=("reverse", "correct", "cancel-invoice"),
    notes=("Nothing is erased: the first entry stays, and this one stands beside it.",),
)
OTHER_ACTS = Kind(
    slug="other-acts",
    title="Acts without a quantity",
    section="27 CFR 19.571",
    rows=other_acts,
    columns=(
        Column("date", "Date", 9),
        Column("what", "What", 14),
        Column("record", "Record", 10),
        Column("vessel", "Vessel", 10),
        Column("words", "What it says", 44),
    ),
    operations=(
        "stop-still", "run-on", "load-basket", "spent-botanicals", "clean-vessel", "barrel-care",
        "move-barrels", "receive-barrels", "notice", "goods-gone", "route-stillage",
        "keep-backset", "move-cases", "regauge",
    ),
)  # fmt: skip
READINGS = Kind(
    slug="readings",
    title="Ferment and still readings",
    section="27 CFR 19.571",
    rows=readings,
    when="When read; supporting data (27 CFR 19.571)",
    columns=(
        Column("date", "Date", 9),
        Column("time", "Time", 6),
        Column("vessel", "Vessel", 9),
        Column("lot", "Lot", 12),
        figure("gravity", "Gravity"),
        figure("temperature_f", "°F"),
        figure("ph", "pH"),
        figure("proof", "Proof"),
        figure("condenser_f", "Condenser, °F"),
        figure("rate_gal_h", "Gallons an hour"),
        figure("level_gal", "In the receiver, gallons"),
        Column("cut", "Cut, into", 9),
        Column("note", "Note", 20),
        Column("voided", "Voided", 14),
    ),
    operations=("ferment-reading", "still-reading", "void-reading"),
    notes=("A voided reading stays here; it counts nowhere else.",),
)
