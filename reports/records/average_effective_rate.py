"""The record of an average effective tax rate: batches by day, and each month's end (19.613)."""

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from itertools import groupby

from distillery.records.base import Column, Kind, Row, figure
from distillery.records.span import Span
from ledger.posting import next_month
from reports.content_credits import UNCONFIRMED
from reports.kept_rates import average, bottled_between


def averages(span: Span) -> Iterator[Row]:
    """Each day's bottlings with eligible wine or flavor, and each month's end by product."""
    rows = bottled_between(span.premises, first=span.first, last=span.last)
    rows.sort(key=lambda one: (one.day, one.product, one.lot))
    for month, group in groupby(rows, key=lambda one: one.day.replace(day=1)):
        mine = list(group)
        for one in mine:
            yield Row({
                "date": f"{one.day:%Y-%m-%d}", "product": one.product, "batch_serials": one.lot,
                "pg_from_spirits": one.spirits, "pg_from_wine": one.wine,
                "pg_from_flavors": one.flavors, "tax_of_batch": one.tax,
            })  # fmt: skip
        if next_month(month) - timedelta(days=1) <= span.last:
            for product in sorted({one.product for one in mine}):
                yield _month_end(span, product, next_month(month))


def _month_end(span: Span, product: str, following: date) -> Row:
    """The totals of the month and the five before, and the rate for the one that follows."""
    worked = average(span.premises, product, following)
    rate, told = worked or (None, {"months": []})
    day = following - timedelta(days=1)
    return Row({
        "date": f"{day:%Y-%m-%d}", "product": product, "batch_serials": "this month and 5 before",
        "total_pg": sum((Decimal(one["proof_gallons"]) for one in told["months"]), Decimal(0)),
        "tax_of_batch": sum((Decimal(one["tax"]) for one in told["months"]), Decimal(0)),
        "average_rate": rate,
    }, is_total=True)  # fmt: skip


AVERAGE = Kind(
    slug="average-effective-rate",
    title="Average effective tax rate",
    section="27 CFR 19.613",
    rows=averages,
    is_summary=True,
    columns=(
        Column("date", "Date", 9),
        Column("product", "Product", 12),
        Column("batch_serials", "Batch", 12),
        figure("pg_from_spirits", "PG from spirits"),
        figure("pg_from_wine", "PG from wine"),
        figure("pg_from_flavors", "PG from flavors"),
        figure("total_pg", "PG of six months"),
        figure("tax_of_batch", "Tax, $"),
        figure("average_rate", "Average rate, $/PG"),
    ),
    notes=(UNCONFIRMED,),
)
