"""Production: receiving tanks, the production gauge and the way back to the mash.

27 CFR 19.585, 19.289(a), 19.304.
"""

from collections.abc import Iterator
from functools import cached_property

from distillery.records.base import NOT_ASKED, Cell, Column, Kind, Row, figure
from distillery.records.cells import account, gallons, joined, kind, pg, proof, reference
from distillery.records.span import Span
from distillery.tables import operation_title
from ledger.models import Descent, Lot, Movement
from ledger.quantities import to_decimal

PRODUCTION = "production"
HOLDS = ("receiver", "tank", "tote")
DEEPEST = 12  # generations back; feints that go round end it long before


class Receivers:
    """What each receiving tank held before and after each act of the span, by the book."""

    def __init__(self, span: Span) -> None:
        self.span = span
        self.held: dict[int, int] = {}
        mine = Movement.objects.filter(entry__premises=span.premises, at__lt=span.start)
        for side, sign in (("to", 1), ("from", -1)):
            rows_of = mine.filter(**{f"{side}_account": PRODUCTION})
            for vessel, amount in rows_of.values_list(f"{side}_vessel", "proof_gallons"):
                if vessel:
                    self.held[vessel] = self.held.get(vessel, 0) + sign * amount

    def move(self, row: Movement) -> None:
        """Follow one movement."""
        if row.from_account == PRODUCTION and row.from_vessel_id:
            self._add(row.from_vessel_id, -row.proof_gallons)
        if row.to_account == PRODUCTION and row.to_vessel_id:
            self._add(row.to_vessel_id, row.proof_gallons)

    def _add(self, vessel: int, change: int) -> None:
        self.held[vessel] = self.held.get(vessel, 0) + change

    @cached_property
    def mashes(self) -> "Ancestry":
        """The way back from a lot to its mashes."""
        return Ancestry()


class Ancestry:
    """Mash and charged lots from which a lot descends, read a generation at a time."""

    def __init__(self) -> None:
        self.known: dict[int, Cell] = {}

    def told(self, lot: Lot) -> Cell:
        """Codes of the runs, washes and spirits for redistillation behind *lot*."""
        if lot.pk not in self.known:
            self.known[lot.pk] = joined(self._codes(lot.pk))
        return self.known[lot.pk]

    def _codes(self, pk: int) -> list[str]:
        found: dict[int, str] = {}
        generation, seen = {pk}, {pk}
        for _ in range(DEEPEST):
            rows_of = Descent.objects.filter(child__in=generation).exclude(parent__in=seen)
            parents = list(rows_of.values_list("parent", "parent__code", "parent__stage"))
            found |= {one: code for one, code, stage in parents if stage in ("run", "wash")}
            generation = {one for one, _, stage in parents if stage not in ("wash", "material")}
            seen |= {one for one, _, _ in parents}
            if not generation:
                break
        return [found[one] for one in sorted(found, reverse=True)]


def rows(span: Span) -> Iterator[Row]:
    """Each act on a receiving tank, and each removal out of production."""
    receivers = Receivers(span)
    together: list[Movement] = []
    for row in span.movements:
        if together and row.entry_id != together[0].entry_id:
            yield from _of_entry(together, receivers, span)
            together = []
        together.append(row)
    if together:
        yield from _of_entry(together, receivers, span)


def _of_entry(together: list[Movement], receivers: Receivers, span: Span) -> Iterator[Row]:
    mine = [row for row in together if PRODUCTION in (row.from_account, row.to_account)]
    tanks = {
        vessel.pk: vessel
        for row in mine
        for account_code, vessel in (
            (row.from_account, row.from_vessel), (row.to_account, row.to_vessel),
        )
        if account_code == PRODUCTION and vessel is not None and vessel.kind in HOLDS
    }  # fmt: skip
    before = {pk: receivers.held.get(pk, 0) for pk in tanks}
    for row in mine:
        receivers.move(row)
    for pk, tank in tanks.items():
        moved = [row for row in mine if pk in (row.from_vessel_id, row.to_vessel_id)]
        cells = _cells(moved, receivers, span)
        cells |= {
            "receiving_tank_no": tank.code,
            "gauge_before_removal_pg": gallons(before[pk]),
            "gauge_after_removal_pg": gallons(receivers.held.get(pk, 0)),
        }
        yield Row(cells, moved[0].entry)


def _cells(moved: list[Movement], receivers: Receivers, span: Span) -> dict[str, Cell]:
    first = moved[0]
    out = [row for row in moved if row.from_account == PRODUCTION != row.to_account]
    gone = [row for row in out if row.purpose in ("deposit", "ship", "remove", "sample")]
    lost = [row for row in out if row.to_account in ("loss", "destroyed")]
    is_into = first.to_account == PRODUCTION
    lot = (gone[0].to_lot if gone else None) or (first.to_lot if is_into else first.from_lot)
    packages = [row for row in gone if row.to_vessel_kind == "barrel"]
    return {
        "date": span.day(first.at),
        "what": operation_title(first.entry.operation),
        "kind": kind(lot),
        "production_gauge_pg_to_tenth": pg(gone) if gone else None,
        "proof_of_distillation": proof(lot.distilled_at) if lot and gone else NOT_ASKED,
        "packages_filled_details_if_immediate_withdrawal": joined(
            f"{row.to_lot.code} {row.to_vessel.code} {to_decimal(row.proof_gallons)}"
            for row in packages
            if row.to_lot and row.to_vessel
        ),
        "loss_before_production_gauge_pg": pg(lost) if lost else None,
        "withdrawal_class": joined(_class(row) for row in gone),
        "source_mash_or_material_trace": receivers.mashes.told(lot) if lot and gone else None,
        "related_record": reference(first.entry),
    }


def _class(row: Movement) -> str:
    """One of the classes of 27 CFR 19.585(b)."""
    if row.purpose == "deposit":
        return f"to {row.to_account}"
    if row.to_account == "other_plant":
        return "transfer in bond"
    return account(row.to_account)


PRODUCTION_RECORD = Kind(
    slug="production",
    title="Production",
    section="27 CFR 19.585",
    rows=rows,
    columns=(
        Column("date", "Date", 9),
        Column("what", "What", 10),
        Column("receiving_tank_no", "Receiving tank", 7),
        Column("kind", "Kind", 13),
        figure("gauge_before_removal_pg", "PG before"),
        figure("gauge_after_removal_pg", "PG after"),
        figure("production_gauge_pg_to_tenth", "Production gauge, PG"),
        figure("proof_of_distillation", "Proof of distillation"),
        Column("packages_filled_details_if_immediate_withdrawal", "Packages filled, PG", 14),
        figure("loss_before_production_gauge_pg", "Lost or destroyed before it, PG"),
        Column("withdrawal_class", "Withdrawn for", 8),
        Column("source_mash_or_material_trace", "Runs and mashes behind it", 14),
        Column("related_record", "Related record", 11),
    ),
    operations=(
        "collect", "production-gauge", "charge", "close-run", "transfer", "reduce", "stop-still",
        "load-basket", "clean-vessel", "lose",
    ),
    notes=(
        "Before and after are by the book, in which each gauge stands (27 CFR 19.289(a)).",
    ),
)  # fmt: skip
