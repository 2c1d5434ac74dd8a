"""Effective tax rates kept where wine or flavors earn a credit (27 CFR 19.613 to 19.615)."""

from collections.abc import Iterator
from typing import Any

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.span import Span
from reports.models import EffectiveRate


def rows(span: Span) -> Iterator[Row]:
    """A row for each rate that applied on a day of the span."""
    kept = EffectiveRate.objects.filter(premises=span.premises, effective__lte=span.last)
    for one in kept.order_by("effective", "pk"):
        if one.until is None or one.until >= span.first:
            yield Row(_cells(one, span))


def _cells(one: EffectiveRate, span: Span) -> dict[str, Cell]:
    return {
        "effective": f"{one.effective:%Y-%m-%d}",
        "until": f"{one.until:%Y-%m-%d}" if one.until else None,
        "method": one.get_method_display(),
        "batch": one.lot or None,
        "product": one.product or None,
        "rate": one.rate,
        "worked": told_of(one.worked),
        "kept": f"{span.moment(one.kept_at)} {one.kept_by}",
    }


def told_of(worked: Any) -> str:
    """What a rate was worked out from, name by name."""
    if isinstance(worked, dict):
        parts = (f"{name.replace('_', ' ')} {told_of(value)}" for name, value in worked.items())
        return "; ".join(parts)
    if isinstance(worked, list):
        return ", ".join(map(told_of, worked))
    return str(worked)


EFFECTIVE_RATES = Kind(
    slug="effective-rates",
    title="Effective tax rates",
    section="27 CFR 19.613",
    rows=rows,
    is_summary=True,
    when="With each batch; an average at each month's end (27 CFR 19.613)",
    columns=(
        Column("effective", "From", 9),
        Column("until", "To", 9),
        Column("method", "Method", 14),
        Column("batch", "Batch or lot", 12),
        Column("product", "Product", 12),
        figure("rate", "Dollars a PG"),
        Column("worked", "Worked out from", 40),
        Column("kept", "Kept", 14),
    ),
    notes=(
        "Batch rates, averages (19.613), the reserve (19.614) and standard rates (19.615), where a "
        "credit for wine or flavors is taken. Nothing here: no credit was taken.",
    ),
)
