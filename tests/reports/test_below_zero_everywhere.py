"""No figure of any report falls below zero unasked, whatever is taken back and however booked.

The three reports take no figure below zero (their official help); nor does a tax figure that is
worked out from them. Acts and figures are invented.
"""

import random
from datetime import date

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Entry
from reports.month_book import read_book
from reports.month_end import close_month, forms_of
from tests.distillery.stock import put
from tests.reports.months import LATER, Book, leg

JANUARY, FEBRUARY = date(2026, 1, 1), date(2026, 2, 1)
# Parents before children: spirits of two sources on their way from the still to the bottle.
LOTS = (
    ("production", "RCV-1", "H", {"class_code": "whisky", "type_code": "bourbon"}),
    ("storage", "S-1", "S", {"class_code": "whisky", "type_code": "bourbon"}),
    ("storage", "NS", "I", {"class_code": "rum", "source": "imported"}),
    ("redistil", "S-2", "R", {"class_code": "whisky"}),
    ("production", "RCV-2", "H2", {"class_code": "gin", "redistilled": True}),
    ("processing", "P-1", "P", {"class_code": "whisky", "type_code": "bourbon"}),
    ("processing", "P-2", "PI", {"class_code": "rum", "source": "imported"}),
    ("finished", "STORE", "F", {"class_code": "whisky", "form": "bottled"}),
)
ACTS = (
    ("distilled H", "production H RCV-1", "collect"),
    ("production H RCV-1", "storage S S-1", "deposit"),
    ("production H2 RCV-2", "processing P P-1", "deposit"),
    ("production H RCV-1", "loss H", "regauge"),
    ("other_plant I", "storage I NS", "receive"),
    ("storage I NS", "processing PI P-2", "transfer"),
    ("storage I NS", "loss I", "leak"),
    ("gain I", "storage I NS", "count"),
    ("storage S S-1", "processing P P-1", "transfer"),
    ("storage S S-1", "redistil R S-2", "redistil"),
    ("redistil R S-2", "production H2 RCV-2", "charge"),
    ("storage S S-1", "tax_determined S", "remove"),
    ("storage S S-1", "loss S", "theft"),
    ("processing P P-1", "finished F STORE", "bottle"),
    ("processing PI P-2", "loss PI", "spill"),
    ("gain P", "processing P P-1", "count"),
    ("finished F STORE", "tax_determined F", "remove"),
    ("finished F STORE", "export F", "remove"),
    ("finished F STORE", "loss F", "breakage"),
    ("finished F STORE", "shortage F", "count"),
)


def act(book, chance, at):
    """One act of a few proof gallons; a deposit in a cooperage, a theft taxed or not."""
    origin, to, purpose = chance.choice(ACTS)
    proof = chance.randint(1, 3) * 1000
    more = {"cooperage": chance.choice(["new", "used", "tank"])} if purpose == "deposit" else {}
    if purpose == "theft":
        more["taxed"] = chance.random() < 0.5
    return book.post(at, leg(origin, to, purpose, proof, proof, **more), document=f"D-{at}")


def lowest(premises, month):
    forms = forms_of(read_book(premises, month)).values()
    return min(cell.value for form in forms for *_, cell in form.every_cell())


def plant(world):
    for account, vessel, lot, facts in LOTS:
        put(world, account, vessel, lot, wine="9000", proof="9000", **facts)
    return Book(world.premises)


def closed(world):
    close_month(world.premises, JANUARY, by="ada", now=LATER)
    world.premises.refresh_from_db()


@pytest.mark.parametrize("seed", range(5))
def test_what_is_booked_unasked_leaves_no_figure_below_zero(world, seed):
    chance = random.Random(seed)
    book = plant(world)
    for day in range(6, 18):
        act(book, chance, f"2026-01-{day:02} 12:00")
    closed(world)
    book.count += 1000
    asked = done = 0
    for day in range(1, 19):
        if chance.random() < 0.4:
            act(book, chance, f"2026-02-{day:02} 12:00")
            continue
        rows = Entry.objects.filter(reverses=None, reversed_by=None, operation="test")
        entry = chance.choice(list(rows.exclude(movements__from_account="opening")))
        late = (
            {"late": chance.choice(["open", "open", "amend"])}
            if entry.period.month == JANUARY
            else {}
        )
        try:
            world.record(
                "reverse", f"2026-02-{day:02} 13:00", entry=entry.number, reason="wrong", **late
            )
            done += 1
        except Asked as question:
            asked += "below-zero" in str([one.code for one in question.plan.questions])
        except Refused:
            continue
        assert lowest(world.premises, FEBRUARY) >= 0
        assert lowest(world.premises, JANUARY) >= 0
    assert asked
    assert done


def spilt(world, at, volume, **more):
    return world.record("lose", at, vessel="S-1", cause="spill", volume=volume, **more).entry


def codes(act, *arguments, **more):
    with pytest.raises(Asked) as question:
        act(*arguments, **more)
    return [one.code for one in question.value.plan.questions]


@pytest.fixture
def spills(world):
    """10 gal spilt in January, which is closed, and 12 in February."""
    put(world, "storage", "S-1", "N", wine="100", proof="190")
    first = spilt(world, "2026-01-10 10:00", "10 gal")
    closed(world)
    return world, first, spilt(world, "2026-02-05 10:00", "12 gal")


def test_taking_back_what_stood_against_a_late_reversal_is_asked(spills):
    world, first, second = spills
    world.record("reverse", "2026-02-10 10:00", entry=first.number, reason="not spilt", late="open")
    assert codes(
        world.record, "reverse", "2026-02-11 10:00", entry=second.number, reason="nor this"
    ) == ["below-zero"]


def test_a_record_made_instead_of_a_closed_months_is_asked(spills):
    world, first, second = spills
    world.record("reverse", "2026-02-09 10:00", entry=second.number, reason="not spilt")
    less = {"instead_of": first.number, "reason": "8 gal", "late": "open"}
    assert "below-zero" in codes(spilt, world, "2026-01-10 10:00", "8 gal", **less)
    assert lowest(world.premises, FEBRUARY) >= 0


def test_a_kind_of_cooperage_counts_by_itself(world):
    """Part III of 5110.40 has a column for each: new casks do not stand for a tank."""
    book = plant(world)
    first = book.post("2026-01-10 09:00", leg("production H RCV-1", "storage S S-1", "deposit",
                                              1000, 1000, cooperage="new"))  # fmt: skip
    closed(world)
    book.post("2026-02-03 09:00", leg("production H RCV-1", "storage S S-1", "deposit",
                                      5000, 5000, cooperage="tank"))  # fmt: skip
    assert codes(
        world.record, "reverse", "2026-02-10 10:00", entry=first.number, reason="no", late="open"
    ) == ["below-zero"]
