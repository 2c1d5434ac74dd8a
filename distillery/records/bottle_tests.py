"""Fill and alcohol tests at the bottling line (27 CFR 19.600, 19.356)."""

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal

from distillery.models import BottleCheck
from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import joined
from distillery.records.span import Span

TENTH = Decimal("0.1")


def rows(span: Span) -> Iterator[Row]:
    """A row for each test, in the order of the line."""
    tests = BottleCheck.objects.filter(premises=span.premises, at__gte=span.start, at__lt=span.end)
    tests = tests.select_related("vessel", "run__product").prefetch_related("fills")
    for test in tests.order_by("at", "pk"):
        yield Row(_cells(test, span))


def _cells(test: BottleCheck, span: Span) -> dict[str, Cell]:
    moment = span.moment(test.at)
    fills = [row.fill_ml for row in test.fills.all()]
    return {
        "date": moment[:10],
        "time": moment[11:],
        "what": test.get_kind_display(),
        "bottling_tank_no": test.vessel.code,
        "bottling_record_serial": test.run.serial if test.run else None,
        "bottling_line": test.line or None,
        "bottle_size": f"{test.bottle_ml} mL",
        "bottles_tested": test.tested,
        "labeled_abv": abv(test.label_proof),
        "found_abv": abv(test.found_proof),
        "pct_variation_from_100_fill": joined(
            f"{variation(fill, test.bottle_ml):+}" for fill in fills
        ),
        "within_tolerance": {True: "yes", False: "no", None: None}[test.is_within],
        "corrective_action": test.action or None,
        "happened": moment,
        "recorded": f"{span.moment(test.recorded_at)} {test.by}",
    }


def abv(proof: Decimal | None) -> Cell:
    """Per cent of alcohol by volume: half the proof (27 CFR 30.11)."""
    return None if proof is None else f"{proof / 2:.2f} %"


def variation(fill_ml: Decimal, bottle_ml: int) -> Decimal:
    """Per cent above or below a full bottle, to a tenth."""
    return ((fill_ml - bottle_ml) * 100 / bottle_ml).quantize(TENTH, ROUND_HALF_UP)


BOTTLE_TESTS = Kind(
    slug="fill-and-alcohol-tests",
    title="Fill and alcohol tests",
    section="27 CFR 19.600",
    rows=rows,
    when="At representative intervals while bottling; no number is prescribed (27 CFR 19.356(a))",
    columns=(
        Column("date", "Date", 9),
        Column("time", "Time", 6),
        Column("what", "What", 9),
        Column("bottling_tank_no", "Bottling tank"),
        Column("bottling_record_serial", "Bottling record", 9),
        Column("bottling_line", "Line", 6),
        Column("bottle_size", "Bottle", 7),
        figure("bottles_tested", "Bottles tested", 6),
        figure("labeled_abv", "Alcohol, label"),
        figure("found_abv", "Alcohol, found"),
        Column("pct_variation_from_100_fill", "Per cent from a full bottle", 14),
        Column("within_tolerance", "Within tolerance", 7),
        Column("corrective_action", "What was done", 14),
    ),
    operations=("bottle-check", "calibrate-filler"),
)
