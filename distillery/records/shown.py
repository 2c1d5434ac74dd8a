"""A record ready for its faces: every cell as text, what holds once over a sheet apart."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from distillery.records.base import NOT_ASKED, Cell, Column, Kind, Row
from distillery.records.span import Span

SHORT = 16  # characters of a seal under each page; the first page tells it whole


@dataclass(frozen=True, slots=True)
class Facts:
    """Whose record it is, of which days, and what it rests on."""

    plant: str
    registry: str
    days: str
    foot: str
    short_foot: str


def facts_of(span: Span) -> Facts:
    """The facts that stand on every page."""
    number, seal = span.through
    premises = span.premises
    foot = f"Recorded through entry {number}. Seal head {seal or 'none'}."
    short = f"Entry {number}, seal {seal[:SHORT]}" if seal else f"Entry {number}"
    return Facts(premises.name, premises.registry, days_of(span), foot, short)


def days_of(span: Span) -> str:
    """``2026-01-01 to 2026-03-31``, or the one day."""
    if span.first == span.last:
        return f"{span.first:%Y-%m-%d}"
    return f"{span.first:%Y-%m-%d} to {span.last:%Y-%m-%d}"


def text(cell: Cell) -> str:
    """A cell for people: figures with thousands parted, "" where nothing is on record."""
    if cell is None:
        return ""
    return f"{cell:,}" if isinstance(cell, int | Decimal) else cell


def plain(cell: Cell) -> str | int | None:
    """A cell for machines: decimals as text, counts as numbers, None where not on record."""
    return str(cell) if isinstance(cell, Decimal) else cell


def parted(
    columns: Sequence[Column], rows: Sequence[Row]
) -> tuple[tuple[Column, ...], tuple[Column, ...]]:
    """(columns with something in a row, columns blank in every row): paper names the second."""
    empty = (None, "", NOT_ASKED)
    full = {
        one.name for one in columns if any(row.cells.get(one.name) not in empty for row in rows)
    }
    return (
        tuple(one for one in columns if one.name in full),
        tuple(one for one in columns if one.name not in full),
    )


def blank_sentence(blank: Sequence[Column]) -> str:
    """Which fields have nothing in any row of a sheet; "" where all have something."""
    return f"Nothing in these rows under: {'; '.join(one.head for one in blank)}." if blank else ""


def file_name(kind: Kind, span: Span, suffix: str) -> str:
    """``19.592-tank-record-20260101-20260331.pdf``: the same kind and days, the same name."""
    section = kind.section.removeprefix("27 CFR ").split(",")[0].split("(")[0].strip()
    return f"{section}-{kind.slug}-{span.first:%Y%m%d}-{span.last:%Y%m%d}.{suffix}"
