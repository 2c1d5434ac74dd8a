"""The gauge record of an entry (27 CFR 19.618): every field, a blank where none is on record."""

import re

from distillery.ages import WOODS, age_on
from distillery.models import KeptSlip
from distillery.papers.containers import Container, containers, movements_of
from distillery.papers.package_record import package_record
from distillery.papers.paper import (
    BLANK,
    NOT_ASKED,
    Facts,
    Note,
    Paper,
    Table,
    day,
    facts_of,
    foot_of,
    gallons,
    proof,
)
from distillery.tables import operation_title
from ledger.models import Entry, Lot

PREFIX = "GR-"
REASONS = {
    "production-gauge": "Production gauge and deposit in {account}",
    "fill-barrels": "Packages filled from a {account} tank",
    "package-to-package": "Package changed for another, 27 CFR 19.325",
    "draw-redistil": "Transfer to production for redistillation",
}
PLANT_NUMBER = re.compile(r"[\s,(]*\b(DSP-[A-Z]{2}-\d+)\b\)?")
BLANKS = f"A blank is not on record here. {NOT_ASKED} marks what this gauge does not ask for."
HEADS = (
    "Package identification", "Tank", "Volume or weight details", "Proof", "Wine gallons",
    "Cooperage", "Entry proof, whisky", "Proof gallons",
)  # fmt: skip
SHARES = (15, 9, 30, 7, 10, 10, 9, 10)


def has_gauge_record(entry: Entry) -> bool:
    """Whether *entry* is numbered as a gauge record."""
    return entry.document.startswith(PREFIX)


def gauge_records(entry: Entry) -> tuple[Paper, ...]:
    """The gauge records, one a lot of packages, and the package gauge record (19.619)."""
    movements = movements_of(entry)
    found = containers(entry, movements, KeptSlip.of_entry(entry))
    if not found:
        return ()
    parts = _by_lot(found)
    records = [
        Paper(
            "Gauge record, 27 CFR 19.618", facts_of(entry),
            (Facts("The gauge", _gauge(entry, part, serial)), _containers(part), Note(BLANKS)),
            foot_of(entry),
        )
        for serial, part in zip(_serials(entry, len(parts)), parts, strict=True)
    ]  # fmt: skip
    packages = tuple(one for one in found if one.is_package)
    if packages:
        records.append(package_record(entry, packages, origin_of(found[0].movement.to_lot)))
    return tuple(records)


def _by_lot(found: tuple[Container, ...]) -> list[tuple[Container, ...]]:
    """A record for each lot of packages and each removal in bulk (27 CFR 19.289(d))."""
    lots: dict[object, list[Container]] = {}
    for one in found:
        row = one.movement
        key = row.to_lot_id if one.is_package else (row.to_lot_id, row.to_vessel_id)
        lots.setdefault(key, []).append(one)
    return [tuple(part) for part in lots.values()]


def _serials(entry: Entry, records: int) -> list[str]:
    """``GR-12``; where one gauge makes several records ``GR-12-1``, ``GR-12-2``."""
    if records == 1:
        return [entry.document]
    return [f"{entry.document}-{number}" for number in range(1, records + 1)]


def origin_of(lot: Lot) -> tuple[tuple[str, str], ...]:
    """Producer, plant number and proof of distillation of *lot*."""
    number = PLANT_NUMBER.search(lot.producer)
    return (
        ("Producer", PLANT_NUMBER.sub("", lot.producer).strip(" ,")),
        ("Plant number of the producer", number[1] if number else BLANK),
        ("Proof of distillation", proof(lot.distilled_at)),
    )


def _gauge(entry: Entry, found: tuple[Container, ...], serial: str) -> tuple[tuple[str, str], ...]:
    first = found[0].movement
    reason = REASONS.get(entry.operation, BLANK).format(account=first.to_account)
    kinds = dict.fromkeys(one.movement.to_vessel.get_kind_display() for one in found)
    producer, number, distilled = origin_of(first.to_lot)
    if entry.operation == "draw-redistil":
        distilled = (distilled[0], NOT_ASKED)
    return (
        ("Serial number", serial),
        ("Reason for the gauge", reason),
        ("Date", day(entry)),
        *_related(first.from_lot),
        ("Taken from", first.from_vessel.code if first.from_vessel else BLANK),
        ("Kind, or formula number", kind_of(first.to_lot)),
        distilled,
        ("Type of containers", ", ".join(kinds)),
        ("Number of containers", str(len({one.movement.to_vessel_id for one in found}))),
        ("Age", _age(entry, first.from_lot)),
        producer,
        number,
    )


def kind_of(lot: Lot) -> str:
    """The name of the lot, and its type where the name does not say it."""
    kind = lot.designation.type_code
    return lot.name if kind.lower() in lot.name.lower() else f"{lot.name}, {kind}"


def _related(lot: Lot) -> tuple[tuple[str, str], ...]:
    """The record that opened the lot gauged."""
    opened = lot.opened_by
    return (
        ("Related record", f"{operation_title(opened.operation)}, lot {lot.code}"),
        ("Its serial number", opened.document or f"entry No. {opened.number}"),
        ("Its date", day(opened)),
    )


def _age(entry: Entry, lot: Lot) -> str:
    if entry.operation == "production-gauge":
        return NOT_ASKED  # new spirits
    age = age_on(lot, entry.happened_at.astimezone(entry.premises.zone).date())
    told = [f"{span} in {WOODS[wood]}" for wood, span in age.spells()]
    return "; ".join(told) or BLANK


def _containers(found: tuple[Container, ...]) -> Table:
    rows = [*map(_row, found)]
    wine = gallons(sum(one.movement.wine_gallons for one in found))
    total = gallons(sum(one.movement.proof_gallons for one in found))
    rows.append(("Total", "", "", "", wine, "", "", total))
    return Table("Containers", HEADS, tuple(rows), SHARES)


def _row(one: Container) -> tuple[str, ...]:
    row = one.movement
    is_entry = row.to_lot.designation.class_code.startswith("whisky") and row.purpose != "redistil"
    return (
        one.package or NOT_ASKED,
        one.tank or NOT_ASKED,
        one.details,
        proof(row.proof),
        gallons(row.wine_gallons),
        one.wood if one.is_package else NOT_ASKED,
        proof(row.proof) if is_entry and one.is_package else NOT_ASKED,
        gallons(row.proof_gallons),
    )
