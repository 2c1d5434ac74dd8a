"""Spirits redistilled inside processing, told gross: line 20 out, line 2 in (TTB F 5110.28).

Lines 8 and 26 are equal and line 1 is last month's line 25 (the form's own identities, read in
its official help). That a charge goes on line 20 and its product on line 2 is the other
convention; no edition that was read states it. Months and figures are invented.
"""

import random
from datetime import date

import pytest

from distillery.models import DatedSetting
from ledger.posting import next_month
from reports.behind import movements, place_on
from reports.filling import fill_from
from reports.forms import FORMS
from reports.landed import landed
from reports.month_book import read_book
from reports.month_end import close_month
from tests.reports.months import APRIL, FEBRUARY, LATER, MARCH, Book, leg, spirits

LINES = ("1", "2", "8", "20", "24", "25", "26")


@pytest.fixture
def book(world):
    """The empty book of the plant."""
    return Book(world.premises)


def long_run(book, *, spilled=0):
    """1,000.00 PG charged on 28 February; 600.00 out in March; 375.00 and the end in April."""
    book.post(
        "2026-02-03 09:00", leg("other_plant N-1", "processing N-1 P-1", "receive", 52632, 100000),
        lots=(spirits("N-1", "spirits_190"),),
    )  # fmt: skip
    book.post(
        "2026-02-28 15:00", leg("processing N-1 P-1", "processing R-1 COL", "redistil_in",
                                52632, 100000),
        lots=(spirits("R-1", "gin", stage="run", redistilled=True),),
    )  # fmt: skip
    first = book.post(
        "2026-03-01 10:00", leg("processing R-1 COL", "processing B-1 P-2", "redistil_out",
                                33000, 60000),
        lots=(spirits("B-1", "gin", redistilled=True),),
    )  # fmt: skip
    book.post(
        "2026-04-01 10:00",
        leg("processing R-1 COL", "processing B-2 P-1", "redistil_out", 19632, 37500),
        *([leg("processing R-1 COL", "loss R-1", "spill", 0, spilled)] if spilled else []),
        leg("processing R-1 COL", "loss R-1", "redistil", 0, 2500 - spilled),
        lots=(spirits("B-2", "gin", redistilled=True),),
    )
    return first


def told(book, value, since):
    DatedSetting.objects.create(
        premises=book.premises, name="redistilled", value=value, effective=since
    )


def filled(book, month):
    return fill_from(read_book(book.premises, month), FORMS["processing"])


def lines(book, month):
    part = filled(book, month).part("I")
    return [part.value(number) for number in LINES]


GROSS = {
    FEBRUARY: [0, 100000, 100000, 100000, 0, 0, 100000],
    MARCH: [0, 60000, 60000, 0, 0, 60000, 60000],
    APRIL: [60000, 37500, 97500, 0, 0, 97500, 97500],
}
NET = {
    FEBRUARY: [0, 100000, 100000, 0, 0, 100000, 100000],
    MARCH: [100000, 0, 100000, 0, 0, 100000, 100000],
    APRIL: [100000, 0, 100000, 0, 2500, 97500, 100000],
}


@pytest.mark.parametrize(("value", "months"), [("net", NET), ("gross", GROSS)])
def test_a_run_may_lie_over_a_months_and_a_quarters_end(book, value, months):
    told(book, value, FEBRUARY)
    long_run(book)
    assert {month: lines(book, month) for month in months} == months
    # Closed months are read from stored sums, open ones from movements: the same figures.
    for month in (FEBRUARY, MARCH):
        close_month(book.premises, month, by="ada", now=LATER)
    assert {month: lines(book, month) for month in months} == months


def test_a_charge_goes_over_with_the_convention(book):
    """Line 1 stays last month's line 25; what stood in the still crosses the border once."""
    long_run(book)
    told(book, "gross", MARCH)
    assert lines(book, FEBRUARY) == NET[FEBRUARY]
    assert lines(book, MARCH) == [100000, 60000, 160000, 100000, 0, 60000, 160000]
    assert "1000.00 PG stood in a still" in filled(book, MARCH).notes[-1]
    assert lines(book, APRIL) == GROSS[APRIL]
    told(book, "net", APRIL)
    assert lines(book, APRIL) == [60000, 40000, 100000, 0, 2500, 97500, 100000]


def test_what_is_lost_in_the_still_left_on_line_20(book):
    """A spill out of a charged still is on no further line, and its own month still balances."""
    told(book, "gross", FEBRUARY)
    long_run(book, spilled=900)
    book.post("2026-04-02 09:00", leg("processing B-1 P-2", "loss B-1", "spill", 500, 700))
    assert lines(book, APRIL) == [60000, 37500, 97500, 0, 700, 96800, 97500]


def test_an_entry_lands_on_the_lines_it_fills(book):
    told(book, "gross", FEBRUARY)
    first = long_run(book)
    assert [(one.form.slug, one.line.number, one.value) for one in landed(first)] == [
        ("processing", "2", 60000), ("processing", "memo", 60000)
    ]  # fmt: skip


def test_the_memo_tells_the_run_whatever_the_convention(book):
    long_run(book)
    for value in ("net", "gross"):
        told(book, value, FEBRUARY if value == "net" else MARCH)
        part = filled(book, MARCH).part("III")
        assert (part.value("memo", "b"), part.value("memo", "c")) == (0, 60000)


def acts(book, chance):
    """Five months of charges, products and losses at random, some runs left standing."""
    book.post("2026-01-02 08:00", leg("opening N-1", "processing N-1 P-1", "opening", 10**6, 10**6),
              lots=(spirits("N-1", "spirits_190"),))  # fmt: skip
    standing, number = 0, 0
    for month in range(1, 6):
        for day in sorted(chance.sample(range(3, 28), 6)):
            number += 1
            at = f"2026-{month:02}-{day:02} 09:00"
            kind = chance.choice(["gin", "rum"])
            if not standing:
                standing = chance.randint(1000, 50000)
                book.post(at, leg("processing N-1 P-1", f"processing R-{number} COL", "redistil_in",
                                  standing, standing),
                          lots=(spirits(f"R-{number}", kind),))  # fmt: skip
                run = f"processing R-{number} COL"
                continue
            part = standing if chance.random() < 0.4 else chance.randint(1, standing)
            to, purpose, lots = chance.choice([
                (f"processing B-{number} P-2", "redistil_out", (spirits(f"B-{number}", "gin"),)),
                (run.replace("processing", "loss").removesuffix(" COL"), "redistil", ()),
                (run.replace("processing", "destroyed").removesuffix(" COL"), "destroy", ()),
            ])  # fmt: skip
            book.post(at, leg(run, to, purpose, part, part), lots=lots)
            if to.endswith("P-2"):
                book.post(at.replace("09", "10"), leg(to, f"loss B-{number}", "spill", part, part))
            standing -= part


@pytest.mark.parametrize("seed", range(6))
def test_each_month_balances_and_opens_with_last_months_closing(book, seed):
    chance = random.Random(seed)
    acts(book, chance)
    for month in chance.sample(range(1, 6), 3):
        told(book, chance.choice(["net", "gross"]), date(2026, month, 1))
    month, before = date(2026, 1, 1), None
    while month < date(2026, 6, 1):
        form = filled(book, month)
        part = form.part("I")
        for column in ("b", "c"):
            assert part.value("8", column) == part.value("26", column), (month, column)
        assert min(cell.value for *_, cell in form.every_cell()) >= 0
        assert before is None or part.value("1") == before, month
        before, month = part.value("25"), next_month(month)


def test_the_movements_behind_a_figure_add_up_to_it(book):
    told(book, "gross", FEBRUARY)
    long_run(book)
    for month in (FEBRUARY, MARCH, APRIL):
        read = read_book(book.premises, month)
        form = fill_from(read, FORMS["processing"])
        for number, line in enumerate(form.part("I").lines):
            place = place_on(form, part="I", row=str(number), column="c") if line.cells else None
            if place and line.of in ("2", "20", "24", "9"):
                assert sum(one.value for one in movements(place, read)) == place.value
