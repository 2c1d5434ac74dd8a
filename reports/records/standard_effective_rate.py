"""The record of a standard effective tax rate: what it rests on, and from when (27 CFR 19.615)."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.span import Span
from reports.content_credits import UNCONFIRMED
from reports.models import EffectiveRate


def standards(span: Span) -> Iterator[Row]:
    """Each standard rate in use on a day of the span; one that a later row replaced stands too."""
    rows = EffectiveRate.objects.filter(
        premises=span.premises, method=EffectiveRate.Method.STANDARD, effective__lte=span.last
    )  # fmt: skip
    for row in rows.order_by("effective", "pk"):
        yield Row({**_standard(row.worked), "product": row.product, "greatest_rate": row.rate,
                   "start_date": f"{row.effective:%Y-%m-%d}",
                   "kept_by": f"{span.day(row.kept_at)} {row.kept_by}"})  # fmt: skip


def _standard(worked: dict[str, Any]) -> dict[str, Cell]:
    return {
        "least_flavor_pg": Decimal(worked["least_flavor"]),
        "flavor_used_pg": Decimal(worked["flavor_used"]),
        "least_wine_gallons": Decimal(worked["wine_gallons"]),
        "wine_abv": Decimal(worked["wine_abv"]),
    }


STANDARD = Kind(
    slug="standard-effective-rate",
    title="Standard effective tax rate",
    section="27 CFR 19.615",
    rows=standards,
    is_summary=True,
    columns=(
        Column("start_date", "First day", 9),
        Column("product", "Product", 12),
        figure("least_flavor_pg", "Least flavor in a PG, PG"),
        figure("flavor_used_pg", "Of it used, at most 0.025"),
        figure("least_wine_gallons", "Wine in a PG, gal"),
        figure("wine_abv", "Wine, % by volume"),
        figure("greatest_rate", "Greatest rate, $/PG"),
        Column("kept_by", "Kept", 12),
    ),
    notes=("A batch with less flavor or wine than this is kept apart (27 CFR 19.248).",
           UNCONFIRMED),
)  # fmt: skip
