"""A whole year of 2025 at an invented plant, recorded by the command and held against hand work.

The records stand by month in tests/second_year/NN.jsonl, the figures worked out from them by hand
in NN.cells. Every operation is used; every month ties and closes; every cell of every form is
compared. Lines and columns: TTB F 5110.40, 5110.11 and 5110.28; the tax: 26 U.S.C. 5001(c)(1).
"""

from decimal import Decimal

import pytest

from distillery.operations import operations
from reports.forms import FORMS
from reports.suspended import is_due
from tests.second_year.cells import by_hand, filled, key_of, with_totals
from tests.second_year.events import EVENTS, WITHOUT_A_CELL
from tests.second_year.tax import DOCUMENTS, FULL_RATE
from tests.second_year.unfilled import UNFILLED
from tests.second_year.year import AMENDED, MONTHS, records, the_year

pytestmark = pytest.mark.django_db
JULY, OCTOBER = MONTHS[6], MONTHS[9]
by_month = pytest.mark.parametrize("month", MONTHS, ids=lambda month: f"{month:%B}")

# What cannot hold, by month: October opens with what September is since its late sale, and
# September was closed before that sale was known. The amended report ripples forward.
CANNOT_HOLD = {OCTOBER: {"opening-finished"}}


@pytest.fixture(scope="module")
def year(django_db_setup, django_db_blocker):
    with django_db_blocker.unblock():
        return the_year()


def test_every_operation_is_used():
    used = {record["operation"] for month in MONTHS for record in records(month)}
    assert set(operations()) - used == set()


def test_the_year_reads_like_records():
    """Each has a key of its own, its day in its month unless it came late, and a person."""
    rows = [(month, record) for month in MONTHS for record in records(month)]
    assert len({record["key"] for _, record in rows}) == len(rows) > 300
    for month, record in rows:
        assert record["at"].startswith(f"{month:%Y-%m}") or record.get("late"), record
        assert record["by"] in ("heron", "teal")


@by_month
def test_every_record_is_taken_and_had_when_sent_again(year, month):
    number = len(list(records(month)))
    assert year.told[month] == f"{number} recorded, 0 already had, 0 need a look."
    assert year.told_again[month] == f"0 recorded, {number} already had, 0 need a look."


@by_month
def test_every_check_holds_and_the_month_closes(year, month):
    wrong = {check.id for check in year.filings[month].checks if not check.holds}
    assert wrong == CANNOT_HOLD.get(month, set())
    assert year.closed[month].period.month == month
    assert len(year.closed[month].warnings) == len(wrong)  # counts and notices warn of nothing


@by_month
def test_every_cell_is_what_the_records_make(year, month):
    assert filled(year.filings[month].forms) == with_totals(by_hand(month))


def test_the_amended_month_shows_the_late_sale(year):
    """INV-116: 6 of the 29 bottles of Kelp rum that held 4.60 PG are 0.95 PG, out of line 46."""
    expected = dict(by_hand(AMENDED))
    expected[key_of("5110.28 II 33 b")] += 95
    expected[key_of("5110.28 II 46 b")] -= 95
    assert filled(year.amended.forms) == with_totals(expected)
    assert [check.id for check in year.amended.checks if not check.holds] == []


def test_no_line_stays_untouched(year):
    """Every line of the latest edition that takes anything is filled in some month, or told why."""
    touched = {
        (key.form, key.part, key.line) for month in MONTHS for key in with_totals(by_hand(month))
    }
    untouched = {
        (form.number.split()[-1], part.part, line.number)
        for form in FORMS.values()
        for part in form.editions[-1].parts
        for line in part.lines
        if line.flows or line.where or line.sums or line.opening or line.closing or line.counted
        or (line.write_in and any(column.flows for column in part.columns))
    } - touched  # fmt: skip
    assert untouched == set(UNFILLED)


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: event.what)
def test_each_event_fills_its_lines(year, event):
    """One event, many lines: each cell is caused by a record of that month and is as worked out."""
    for month, operation, cells in event.causes:
        first = MONTHS[month - 1]
        assert operation in {record["operation"] for record in records(first)}
        found = filled(year.filings[first].forms)
        for told in cells:
            assert found[key_of(told)] == with_totals(by_hand(first))[key_of(told)] > 0, told


@pytest.mark.parametrize("operation", WITHOUT_A_CELL)
def test_some_events_fill_no_line(year, operation):
    """Water, relabelling and notices move no proof gallons (27 CFR 19.453 for the relabelling)."""
    assert operation in year.movements
    assert sum(abs(row["proof_gallons"]) for row in year.movements[operation]) == 0


def test_what_is_lost_before_the_gauge_is_on_no_line(year):
    """27 CFR 19.585(a)(2): the leak of 2.50 PG from FT-1 shows only in the quarter's count."""
    leaks = [row["proof_gallons"] for row in year.movements["lose"]
             if row["from_account"] == "production"]  # fmt: skip
    assert leaks == [250]


def test_no_production_report_is_due_while_production_is_suspended(year):
    """27 CFR 19.632(a)(1): the whole of July, by the notice of its first day."""
    due = [is_due(year.filings[month].forms["production", ""]) for month in MONTHS]
    assert [month for month, one in zip(MONTHS, due, strict=True) if not one] == [JULY]


@by_month
def test_the_tax_by_document(year, month):
    """Each document to a tenth of a proof gallon (27 CFR 19.612), at its rate, to the cent."""
    figure = (year.amended if month == AMENDED else year.filings[month]).tax
    found = {
        one.number if one.kind == "removal" else one.kind: [
            (share.rate, share.proof_gallons, share.tax) for share in one.shares
        ]
        for one in figure.documents if one.shares
    }  # fmt: skip
    expected = {
        number: [
            (rate, proof, (rate * proof).quantize(Decimal("0.01")))
            for rate, proof in ((Decimal("2.70"), reduced), (FULL_RATE, full)) if proof
        ]
        for counted, number, reduced, full in DOCUMENTS if counted == month.month
    }  # fmt: skip
    assert found == expected


def test_the_returns_carry_the_tax_of_the_year(year):
    """TTB F 5000.24 by quarters: line 9 the sum of the documents, the shortage in Schedule A."""
    quarters = {1: [0, 0], 4: [0, 0], 7: [0, 0], 10: [0, 0]}
    for month, told, reduced, full in DOCUMENTS:
        owed = Decimal("2.70") * reduced + FULL_RATE * full
        quarters[1 + 3 * ((month - 1) // 3)][told == "bottled shortage"] += owed
    assert quarters[4] == [Decimal("366.93"), Decimal("1.08")]
    found = {one.period.begin.month: [one.spirits, one.increase] for one in year.returns}
    assert found == quarters
    assert sum(one.payable for one in year.returns) == Decimal("1101.06")


def test_the_book_verifies(year):
    assert f"{year.entries} entries" in year.verified
    assert "no faults." in year.verified
