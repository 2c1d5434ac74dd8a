"""What the second year would notice: a flow dropped or counted twice, two lines or columns swapped.

The forms are changed in memory, one thing at a time, and filled again from the books of the
year; the cells worked out by hand must then be missed somewhere. No identity of a form sees two
lines swapped that it adds together: only figures from outside can.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations

import pytest

from reports.filling import Filler, triples_of
from reports.forms import FORMS
from reports.forms.shape import Flow, Form, Line, Part
from tests.second_year.cells import Cells, by_hand, cells_of, with_totals
from tests.second_year.unfilled import UNFILLED, UNUSED_WAYS
from tests.second_year.year import the_year

pytestmark = pytest.mark.django_db
Triple = tuple[str, str, str]
Made = tuple[str, str, Triple]
CONTENT = ("flows", "where", "opening", "closing", "counted", "write_in")
forms = pytest.mark.parametrize("form", FORMS.values(), ids=lambda form: form.slug)


@pytest.fixture(scope="module")
def year(django_db_setup, django_db_blocker):
    with django_db_blocker.unblock():
        return the_year()


@cache
def fillers(form: Form) -> list[tuple[Filler, str, Cells]]:
    """(filler, source, hand-made cells of the form with totals) of each month and source."""
    return [
        (Filler(filings.book, box=source), source, _of(form, source, month))
        for month, filings in the_year().filings.items()
        for slug, source in filings.forms
        if slug == form.slug
    ]


def _of(form: Form, source: str, month) -> Cells:
    return {
        key: value
        for key, value in with_totals(by_hand(month)).items()
        if key.form == form.number.split()[-1] and key.source == source
    }


def is_noticed(form: Form, *parts: Part) -> bool:
    """Whether a month of the year, filled with these *parts*, differs from the hand work."""
    names = {part.part for part in parts}
    for filler, source, expected in fillers(form):
        found = {}
        for part in parts:
            found |= cells_of(form.number.split()[-1], source, filler.part(part))
        if found != {key: value for key, value in expected.items() if key.part in names}:
            return True
    return False


def latest(form: Form) -> tuple[Part, ...]:
    """The parts of the newest edition."""
    return form.editions[-1].parts


def with_line(part: Part, line: Line) -> Part:
    """*part* with the line of that number replaced."""
    lines = (line if one.number == line.number else one for one in part.lines)
    return replace(part, lines=tuple(lines))


def _changed(flows: tuple[Flow, ...]) -> Iterator[tuple[Triple, tuple[Flow, ...]]]:
    """Each movement that *flows* take, with flows that leave it out, and that take it twice."""
    for index, flow in enumerate(flows):
        ones = {
            triple: replace(flow, origins=(triple[0],), ends=(triple[1],), purposes=(triple[2],))
            for triple in triples_of(flow)
        }
        for triple, one in ones.items():
            rest = tuple(other for other in ones.values() if other != one)
            yield triple, (*flows[:index], *rest, *flows[index + 1 :])
            yield triple, (*flows, one)


def changed_flows(part: Part) -> Iterator[tuple[str, Triple, Part]]:
    """(line or column, movement, part without it or with it twice)."""
    for line in part.lines:
        for triple, flows in _changed(line.flows):
            yield line.number, triple, with_line(part, replace(line, flows=flows))
    for column in part.columns:
        for triple, flows in _changed(column.flows):
            new = replace(column, flows=flows)
            columns = tuple(new if one.key == column.key else one for one in part.columns)
            yield f"column {column.key}", triple, replace(part, columns=columns)


def test_the_forms_as_they_are_are_not_noticed(year):
    for form in FORMS.values():
        assert not is_noticed(form, *latest(form))


@cache
def behind(form: Form) -> set[Made]:
    """(part, line or column, movement) of each movement that stands behind a cell of the year."""
    found = set()
    for filings in the_year().filings.values():
        for (slug, _), filled in filings.forms.items():
            for part, row, column, cell in filled.every_cell() if slug == form.slug else ():
                for key, _ in cell.behind:
                    found |= {(part.part, name, key[:3]) for name in (row.of, f"column {column}")}
    return found


@forms
def test_every_flow_dropped_or_doubled_is_noticed(year, form):
    """Of each movement that stands behind a cell."""
    changes = [
        (part.part, number, triple, changed)
        for part in latest(form)
        for number, triple, changed in changed_flows(part)
        if (part.part, number, triple) in behind(form)
    ]
    missed = [change[:3] for change in changes if not is_noticed(form, change[3])]
    assert missed == []
    assert len(changes) > 50


@forms
def test_every_way_into_a_line_is_used(year, form):
    """From and to which account a line takes movements: each is made in the year, or told why."""
    ways: dict[tuple[str, ...], bool] = {}
    for part in latest(form):
        for line in part.lines if form.number.endswith("11") or part.part in ("I", "II") else ():
            for flow in () if line.where else line.flows:
                for triple in triples_of(flow):
                    way = (form.number.split()[-1], part.part, line.number, *triple[:2])
                    ways[way] = ways.get(way, False) or (
                        (part.part, line.number, triple) in behind(form)
                    )
    number = form.number.split()[-1]
    assert {way for way, used in ways.items() if not used} == {
        way for way in UNUSED_WAYS if way[0] == number
    }


def swappable(form: Form) -> list[tuple[Part, Line]]:
    """The lines that are filled from the book."""
    return [
        (part, line)
        for part in latest(form)
        for line in part.lines
        if any(getattr(line, name) for name in CONTENT)
    ]


@forms
def test_every_swap_of_two_lines_is_noticed(year, form):
    number = form.number.split()[-1]
    missed, pairs = [], 0
    for (part, one), (other_part, other) in combinations(swappable(form), 2):
        if {(number, part.part, one.number), (number, other_part.part, other.number)} <= set(
            UNFILLED
        ):
            continue  # both stay empty
        pairs += 1
        first = replace(one, **{name: getattr(other, name) for name in CONTENT})
        second = replace(other, **{name: getattr(one, name) for name in CONTENT})
        if part is other_part:
            changed = [with_line(with_line(part, first), second)]
        else:
            changed = [with_line(part, first), with_line(other_part, second)]
        if not is_noticed(form, *changed):
            missed.append((part.part, one.number, other_part.part, other.number))
    assert missed == []
    assert pairs > 100


@forms
def test_every_swap_of_two_columns_is_noticed(year, form):
    missed = []
    for part in latest(form):
        named = [column for column in part.columns if not column.sums]
        for one, other in combinations(named, 2):
            swap = {
                one.key: replace(one, where=other.where, measure=other.measure, flows=other.flows),
                other.key: replace(other, where=one.where, measure=one.measure, flows=one.flows),
            }
            columns = tuple(swap.get(column.key, column) for column in part.columns)
            if not is_noticed(form, replace(part, columns=columns)):
                missed.append((part.part, one.key, other.key))
    assert missed == []
