"""Filling a form from a month's book: plain sums of flows, nothing rounded, no further query."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from functools import cache
from json import loads

from distillery.counts import as_of
from ledger.classes import CLASSES, SOURCES
from ledger.flows import FLOWS
from ledger.models import Premises
from ledger.totals import Key
from reports.facts import END, ORIGIN, PURPOSE, Facts, Reader
from reports.filled import Cell, FilledColumn, FilledForm, FilledLine, FilledPart
from reports.forms.shape import CHECK, READ, WINE_GALLONS, Column, Flow, Form, Line, Part, Rule
from reports.month_book import MonthBook, read_book
from reports.redistilled import STILL_FLOWS, as_redistilled

_MEASURE = {"proof_gallons": 2, WINE_GALLONS: 1}
QUARTER_ENDS = (3, 6, 9, 12)
EMPTY = Cell()  # most cells of a form are empty, and one serves for all of them
Cells = dict[str, Cell]
Triple = tuple[str, str, str]


@cache
def triples_of(flow: Flow) -> frozenset[Triple]:
    """The allowed movements that *flow* takes."""
    return frozenset(triple for triple in FLOWS | STILL_FLOWS if flow.takes(*triple))


def meets(rules: Iterable[Rule], facts: Facts) -> bool:
    """Whether *facts* meet every rule."""
    return all(rule.holds(facts) for rule in rules)


def summed(cells: Iterable[Cell]) -> Cell:
    """One cell of several: their sum, and all the flows behind them."""
    found = [cell for cell in cells if cell is not EMPTY]
    if not found:
        return EMPTY
    behind = tuple(pair for cell in found for pair in cell.behind)
    return Cell(sum(cell.value for cell in found), behind)


class Filler:
    """Fills the parts of one form, for one source where the form is by source."""

    def __init__(self, book: MonthBook, *, box: str = "") -> None:
        self._book = book
        self._reader = Reader(book.designations)
        self._box = box
        self._by_triple: dict[Triple, list[Key]] = defaultdict(list)
        for key in book.flows:
            self._by_triple[str(key[ORIGIN]), str(key[END]), str(key[PURPOSE])].append(key)

    def part(self, part: Part) -> FilledPart:
        """*part* with its figures."""
        rows: list[FilledLine] = []
        for line in part.lines:
            rows.extend(self._rows(part, line, rows))
        return FilledPart(
            part.part,
            part.title,
            tuple(FilledColumn(c.key, c.caption, bool(c.sums)) for c in part.columns),
            tuple(rows),
            part.status,
            self._notes(part),
        )

    def _rows(self, part: Part, line: Line, above: list[FilledLine]) -> list[FilledLine]:
        if line.sums:
            cells = self._total(part, line, above)
        elif line.opening or line.closing:
            cells = self._balance(part, line)
        elif line.counted:
            cells = self._counted(part, line)
        elif line.write_in:
            return self._written_in(part, line)
        else:
            # A row by kind takes its column's flows; a blank row takes nothing.
            cells = self._flowed(part, line, line.where) if line.flows or line.where else {}
        return [_row(line, part, cells, self._explain(line, cells))]

    def _total(self, part: Part, line: Line, above: list[FilledLine]) -> Cells:
        parts = [row for row in above if row.of in line.sums and row.cells]
        return {
            column.key: summed(row.cells[column.key] for row in parts) for column in part.columns
        }

    def _flowed(self, part: Part, line: Line, where: tuple[Rule, ...]) -> Cells:
        behind: dict[str, list[Key]] = {c.key: [] for c in part.columns if not c.sums}
        named = [column for column in part.columns if not column.sums]
        if line.flows:
            for key, facts in self._taken(line.flows, where):
                for column in named:
                    if meets(column.where, facts):
                        behind[column.key].append(key)
        else:
            for column in named:
                behind[column.key] = [key for key, _ in self._taken(column.flows, where)]
        return _with_totals(part, {c.key: self._cell(behind[c.key], c.measure) for c in named})

    def _cell(self, keys: list[Key], measure: str) -> Cell:
        if not keys:
            return EMPTY
        place = _MEASURE[measure]
        moved = [(key, self._book.flows[key][place]) for key in keys]
        behind = tuple((key, 1) for key, value in moved if value)
        return Cell(sum(value for _, value in moved), behind)

    def _taken(
        self, flows: tuple[Flow, ...], where: tuple[Rule, ...]
    ) -> Iterable[tuple[Key, Facts]]:
        """The month's flows that *flows* take and whose lot meets *where*, with its facts."""
        for flow in flows:
            for triple in triples_of(flow) & self._by_triple.keys():
                for key in self._by_triple[triple]:
                    facts = self._reader.side(key, flow.side)
                    changed = not flow.changes or self._reader.changes(key)
                    if changed and self._in_box(facts) and meets(where, facts):
                        yield key, facts

    def _in_box(self, facts: Facts) -> bool:
        return not self._box or facts["box"] == self._box

    def _balance(self, part: Part, line: Line) -> Cells:
        account = line.opening or line.closing or line.counted
        held = self._book.opening if line.opening else self._book.closing
        cells = {}
        for column in part.columns:
            if column.sums:
                continue
            value = sum(
                three[2]
                for (where, kind), three in held.items()
                if where == account and self._counts(column, kind)
            )
            behind = () if line.opening else tuple(self._across(account, column))
            cells[column.key] = Cell(value, behind)
        return _with_totals(part, cells)

    def _counts(self, column: Column, designation: object) -> bool:
        facts = self._reader.of(designation)
        return self._in_box(facts) and meets(column.where, facts)

    def _across(self, account: str, column: Column) -> Iterable[tuple[Key, int]]:
        """The month's flows into (+1) and out of (-1) *account* in *column*."""
        for key, three in self._book.flows.items():
            into = key[END] == account and self._counts(column, key[4])
            out = key[ORIGIN] == account and self._counts(column, key[3])
            if three[2] and into != out:
                yield key, 1 if into else -1

    def _counted(self, part: Part, line: Line) -> Cells:
        """Inventory lines: holdings at the quarter's end, empty in other months."""
        return self._balance(part, line) if self._book.month.month in QUARTER_ENDS else {}

    def _written_in(self, part: Part, line: Line) -> list[FilledLine]:
        kinds: dict[tuple[str, ...], None] = {}
        for flows in {line.flows or column.flows for column in part.columns}:
            for _, facts in self._taken(flows, line.where):
                kinds[tuple(facts[name] for name in line.write_in)] = None
        rows = []
        for number, kind in zip(
            _row_numbers(line.printed or line.number), sorted(kinds), strict=False
        ):
            one = tuple(Rule(n, (v,)) for n, v in zip(line.write_in, kind, strict=True))
            cells = self._flowed(part, line, (*line.where, *one))
            rows.append(_row(line, part, cells, "", number=number, caption=_words(kind)))
        return rows or [_row(line, part, {}, "")]

    def _explain(self, line: Line, cells: Cells) -> str:
        if line.counted:
            return self._count_note() if cells else "in March, June, September and December"
        purposes = {str(key[PURPOSE]) for cell in cells.values() for key, _ in cell.behind}
        return f"for {', '.join(sorted(purposes))}" if line.explain and purposes else ""

    def _count_note(self) -> str:
        """Whether this quarter's inventory was counted (27 CFR 19.312), or is the book's."""
        count, month = self._book.last_count, self._book.month
        if count:
            day = as_of(count, loads(count.form))
            if (day.year, (day.month - 1) // 3) == (month.year, (month.month - 1) // 3):
                return f"counted, entry {count.number} for {day:%B} {day.day}"
        return "book figure, not counted"

    def _notes(self, part: Part) -> tuple[str, ...]:
        notes = [f"Part {part.part}: {CHECK}."] if part.status != READ else []
        other = next((c for c in part.columns if c.key == part.name_other), None)
        names = self._other_kinds(part, other) if other else ""
        return (*notes, f"Column ({other.key}) holds {names}.") if other and names else (*notes,)

    def _other_kinds(self, part: Part, column: Column) -> str:
        taken = (pair for line in part.lines for pair in self._taken(line.flows, column.where))
        names = {facts["kind"] or "kind not named" for key, facts in taken if self._moves(key)}
        return ", ".join(sorted(names))

    def _moves(self, key: Key) -> bool:
        return bool(self._book.flows[key][2])


def _row_numbers(number: str) -> Iterable[str]:
    """The numbers that written-in rows take; what does not fit goes on a sheet of its own."""
    first, _, last = number.partition("-")
    if last:
        yield from (str(n) for n in range(int(first), int(last) + 1))
    while True:
        yield f"{last or first} (more)" if last else first


def _words(kind: tuple[str, ...]) -> str:
    """A written-in kind in words: class, type and, unless domestic, source."""
    known = [CLASSES[word].title if word in CLASSES else SOURCES.get(word, word) for word in kind]
    return ", ".join(word for word in known if word and word != "domestic") or "kind not named"


def _with_totals(part: Part, cells: Cells) -> Cells:
    for column in part.columns:
        if column.sums:
            cells[column.key] = summed(cells[key] for key in column.sums)
    return cells


def _row(
    line: Line, part: Part, cells: Cells, more: str, *, number: str = "", caption: str = ""
) -> FilledLine:
    doubtful = CHECK if line.status != READ and part.status == READ else ""
    note = "; ".join(text for text in (more, line.note, doubtful) if text)
    return FilledLine(
        number or line.printed or line.number, caption or line.caption, cells, line.number,
        line.status, note,
        is_total=bool(line.sums),
    )  # fmt: skip


def sources_in(book: MonthBook) -> tuple[str, ...]:
    """The sources a storage report is due for: domestic always, others held or moved."""
    reader = Reader(book.designations)
    held = {
        reader.of(kind)["box"]
        for (account, kind), three in (*book.opening.items(), *book.closing.items())
        if account == "storage" and three[2]
    }
    for key, three in book.flows.items():
        if three[2] and "storage" in (key[ORIGIN], key[END]):
            held.add(reader.side(key, "to" if key[END] == "storage" else "from")["box"])
    return tuple(source for source in SOURCES if source == "domestic" or source in held)


def fill_from(book: MonthBook, form: Form, *, source: str = "") -> FilledForm:
    """*form* filled from a book that was read already; *source* only for the storage report."""
    edition, notes = book.editions.edition_for(form, book.month), form.notes
    if form.slug == "processing":
        edition, book, more = as_redistilled(edition, book)
        notes = (*notes, *more)
    box = (source or "domestic") if form.by_source else ""
    filler = Filler(book, box=box)
    return FilledForm(
        form.slug, form.number, form.title, edition.name, book.premises.registry,
        book.premises.name, book.month, book.status, box,
        tuple(filler.part(part) for part in edition.parts), notes, book.through,
        edition.parts,
    )  # fmt: skip


def fill(form: Form, premises: Premises, month: date, source: str = "") -> FilledForm:
    """*form* of *month* (its first day), read from the book in at most nine queries."""
    return fill_from(read_book(premises, month), form, source=source)
