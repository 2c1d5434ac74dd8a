"""The shape of a record kind: a declaration, its rows, and the sheets they stand on."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from distillery.devices import by_whom
from distillery.lateness import NOT_TIMED
from distillery.records.lateness import days_late
from distillery.records.span import Span
from distillery.tables import states_of
from ledger.models import Entry

Cell = str | int | Decimal | None  # None is not on record; figures are numbers
NOT_ASKED = "–"  # the field does not apply to this row
NEXT_DAY = "By close of the next business day (27 CFR 19.580(a))"
SAME_DAY = "The same day (27 CFR 19.580(b))"


@dataclass(frozen=True, slots=True)
class Column:
    """One field: its stable name, its caption, its relative width; a figure stands at the right."""

    name: str
    head: str
    share: int = 8
    is_figure: bool = False


def figure(name: str, head: str, share: int = 7) -> Column:
    """A column of figures."""
    return Column(name, head, share, is_figure=True)


@dataclass(frozen=True, slots=True)
class Row:
    """One line: cells by column name (what is missing is blank), and the entry it rests on."""

    cells: Mapping[str, Cell]
    entry: Entry | None = None
    is_total: bool = False


ENTRY = Column("entry", "Entry", 5)
HAPPENED = Column("happened", "Happened", 11)
RECORDED = Column("recorded", "Recorded, by", 13)
LATE = Column("late", "Late", 7)
BECAME = Column("became_of_it", "What became of it", 9)
RESTS_ON = (ENTRY, HAPPENED, RECORDED, LATE, BECAME)


@dataclass(frozen=True, slots=True)
class Sheet:
    """Rows that share their head: one tank filling, one document, one kind of spirits."""

    facts: tuple[tuple[Column, Cell], ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One record that the law names.

    ``heads`` are the fields told once over a sheet, ``columns`` those of each row; ``rows``
    reads them from the book of a span of days. ``operations`` are the acts told in it.
    ``is_per_entry`` puts each entry on a sheet of its own; ``is_summary`` rows rest on no one
    entry. ``signed_as`` is the type of document
    for the statement of 27 CFR 19.45, "" where no signature is asked.
    """

    slug: str
    title: str
    section: str
    columns: tuple[Column, ...]
    rows: Callable[[Span], Iterable[Row]]
    operations: tuple[str, ...] = ()
    heads: tuple[Column, ...] = ()
    when: str = NEXT_DAY
    is_per_entry: bool = False
    is_summary: bool = False
    signed_as: str = ""
    notes: tuple[str, ...] = ()

    @property
    def number(self) -> str:
        """The section without its title: ``19.592``."""
        return self.section.removeprefix("27 CFR ")

    @property
    def all_heads(self) -> tuple[Column, ...]:
        """The head fields, with what the record rests on where that is one entry."""
        return (*self.heads, *(RESTS_ON if self.is_per_entry else ()))

    @property
    def all_columns(self) -> tuple[Column, ...]:
        """The fields of each row, with the entry it rests on."""
        is_apart = self.is_per_entry or self.is_summary
        return (*self.columns, *(() if is_apart else RESTS_ON))

    def lines(self, span: Span) -> Iterator[Row]:
        """Every row with what it rests on told."""
        limit = 0 if self.when == SAME_DAY else 1
        for row in self.rows(span):
            told = {} if row.entry is None else rests_on(row.entry, span, limit)
            yield Row({**told, **row.cells}, row.entry, row.is_total)

    def sheets(self, span: Span) -> list[Sheet]:
        """The rows under their heads, in the order in which each head first comes."""
        heads = self.all_heads
        found: dict[tuple[Cell, ...], list[Row]] = {}
        for row in self.lines(span):
            found.setdefault(tuple(row.cells.get(one.name) for one in heads), []).append(row)
        return [
            Sheet(tuple(zip(heads, told, strict=True)), tuple(rows)) for told, rows in found.items()
        ]


def rests_on(entry: Entry, span: Span, limit: int) -> dict[str, Cell]:
    """The entry's number, when it happened and was recorded, how late, and what became of it."""
    happened, recorded = span.moment(entry.happened_at), span.moment(entry.recorded_at)
    days = (span.date(entry.happened_at), span.date(entry.recorded_at))
    late = 0 if entry.operation in NOT_TIMED else days_late(*days, limit)
    return {
        "entry": f"No. {entry.number}",
        "happened": happened,
        "recorded": f"{recorded} {by_whom(entry)}",
        "late": f"{late} day{'' if late == 1 else 's'}" if late else "",
        "became_of_it": "; ".join([*states_of(entry), *corrected(entry, span), *amending(entry)]),
    }


def corrected(entry: Entry, span: Span) -> list[str]:
    """Which later entries correct *entry*."""
    return [f"corrected by № {number}" for number in span.corrected_by.get(entry.pk, ())]


def amending(entry: Entry) -> list[str]:
    """Which closed month *entry* amends, where it was recorded after the closing."""
    return [f"amends {entry.amends.month:%B %Y}"] if entry.amends else []
