"""When an inventory is due, for which day it stands, and what its differences do."""

from datetime import date

import pytest

from distillery.consequences import GAIN_LINES, LOSS_LINES, OVERAGE, SHORTAGE
from distillery.counts import BOTTLED, QUARTER, weekends_between
from distillery.inventories_due import due, last_day_of_notice, quarter_end
from distillery.recording import Asked
from reports.forms import FORMS
from tests.distillery.stock import put
from tests.world import make_world

SIGNED = {"counter": "Ada", "counter_title": "distiller", "statement": True}
GIN = {
    "stage": "bottled", "unit": "bottle", "form": "bottled", "class_code": "gin",
    "name": "Point gin", "product": "GIN-750", "bottle_ml": 750, "per_case": 12, "label_proof": 900,
}  # fmt: skip


@pytest.fixture
def world(db):
    world = make_world()
    put(world, "finished", "STORE", "K-1", wine="5.55", proof="4.99", amount=28, **GIN)
    return world


@pytest.mark.parametrize(
    ("today", "end"),
    [
        # 27 CFR 19.312, 19.333, 19.371: at the close of each calendar quarter.
        (date(2026, 3, 2), date(2026, 3, 31)),
        (date(2026, 4, 10), date(2026, 3, 31)),
        (date(2026, 4, 20), None),
        (date(2026, 2, 27), None),
        (date(2026, 12, 31), date(2026, 12, 31)),
        (date(2027, 1, 3), date(2026, 12, 31)),
    ],
)
def test_the_quarter_that_is_spoken_of(today, end):
    assert quarter_end(today) == end


def test_half_years_ask_for_notice_by_a_day(world):
    # 27 CFR 19.372; Tuesday 30 June 2026, five business days before it: Tuesday 23 June.
    assert last_day_of_notice(date(2026, 6, 30)) == date(2026, 6, 23)
    kinds = [(one.kind, one.wants_notice) for one in due(world.premises, date(2026, 6, 5))]
    assert kinds == [(QUARTER, False), (BOTTLED, True)]
    world.record(
        "notice", "2026-06-10 09:00", kind="inventory", how="letter", effective_from="2026-06-30"
    )
    told = due(world.premises, date(2026, 6, 11))[1]
    assert (told.wants_notice, "Notice was given 10 Jun 2026" in told.text) == (False, True)


def test_march_asks_for_tanks_alone(world):
    assert [one.kind for one in due(world.premises, date(2026, 3, 20))] == [QUARTER]


def count(world, at, bottles, **more):
    row = {"vessel": "STORE", "lot": "K-1", "bottles": bottles}
    fields = {"kind": "bottled", "as_of": "2026-06-30", **SIGNED, **more}
    return world.record("count", at, rows=[row], **fields)


def test_a_count_some_days_off_is_rolled_back_to_its_day(world):
    # 27 CFR 19.372: 12 bottles left between 30 June and the count of 2 July, which found 15.
    world.record(
        "remove", "2026-07-01 15:00", document="501", initials="ada", consignee="A shop (invented)",
        consignee_state="MA", rows=[{"lot": "K-1", "store": "STORE", "bottles": 12}],
    )  # fmt: skip
    lines = count(world, "2026-07-02 09:00", 15).plan.lines
    assert any("27 bottles" in line and "at the end of 30 Jun 2026" in line for line in lines)
    assert any("Shortage of 1 bottle" in line and "19.465" in line for line in lines)
    assert "No notice of this inventory is kept (27 CFR 19.372)." in lines


@pytest.mark.parametrize(
    ("first", "last", "weekends"),
    [
        (date(2026, 6, 30), date(2026, 7, 2), 0),
        (date(2026, 6, 30), date(2026, 7, 7), 1),
        (date(2026, 6, 30), date(2026, 7, 12), 2),
        (date(2026, 6, 21), date(2026, 6, 30), 2),
        (date(2026, 7, 4), date(2026, 7, 5), 1),
    ],
)
def test_weekends_between(first, last, weekends):
    assert weekends_between(first, last) == weekends == weekends_between(last, first)


def test_over_more_than_one_weekend_is_asked_about(world):
    with pytest.raises(Asked, match=r"More than one weekend.*over-weekends"):
        count(world, "2026-07-12 09:00", 28)
    count(world, "2026-07-07 09:00", 28)


def test_the_lines_named_are_those_that_count_it():
    flows = {
        ("5110.11 line 5", "gain", "storage"), ("5110.11 line 22", "storage", "loss"),
        ("5110.28 line 7", "gain", "processing"), ("5110.28 line 24", "processing", "loss"),
        ("5110.28 line 30", "gain", "finished"), ("5110.28 line 45", "finished", "shortage"),
    }  # fmt: skip
    named = {*GAIN_LINES.values(), *LOSS_LINES.values(), OVERAGE, SHORTAGE}
    assert named == {line for line, *_ in flows}
    for named_line, origin, end in flows:
        number, _, line = named_line.partition(" line ")
        assert line in _lines_of(number, origin, end)


def _lines_of(number, origin, end):
    """The lines of a form that take a count's movement between two accounts."""
    found = set()
    for form in FORMS.values():
        if number in form.number:
            for part in form.edition_for(date(2026, 6, 1)).parts:
                for line in part.lines:
                    if any(flow.takes(origin, end, "count") for flow in line.flows):
                        found.add(line.number)
    return found
