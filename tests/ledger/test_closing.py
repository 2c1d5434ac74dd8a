"""Closing a month, and what a later record does to it."""

from datetime import date

import pytest

from ledger import totals
from ledger.closing import close
from ledger.errors import BadFact, MonthClosed, NotClosable
from ledger.models import Entry, FlowTotal, Holding, Movement, Period, Premises
from ledger.posting import month_of
from ledger.verifying import verify
from tests.ledger.raw import NOW, draw, make_plant, post, receive, take_back, transfer
from tests.ledger.raw import day as on

pytestmark = pytest.mark.django_db
MARCH, APRIL, MAY = date(2026, 3, 1), date(2026, 4, 1), date(2026, 5, 1)


@pytest.fixture
def plant():
    """190 PG in and 19 out in March, 95 to processing in April."""
    premises = make_plant()
    post(premises, "in", receive(), at=on(5))
    post(premises, "out", draw("N-1", 1000, 1900), at=on(10))
    post(premises, "batch", transfer("N-1", 5000, 9500), at=on(40))
    return premises


def shut(premises, *months):
    for month in months:
        close(premises, month, by="ada", now=NOW)


def period(month):
    return Period.objects.get(month=month)


def in_storage(sums):
    held = totals.balances(sums)
    return sum(three[2] for (account, _), three in held.items() if account == "storage")


def by_purpose(sums):
    return {key[2]: three[2] for key, three in sums.items()}


def test_it_stores_the_months_sums_and_the_running_sums(plant):
    shut(plant, MARCH, APRIL)
    rows = FlowTotal.objects.filter(period=period(APRIL)).order_by("purpose")
    told = [(row.purpose, row.proof_gallons, row.run_proof_gallons) for row in rows]
    assert told == [("receive", 0, 19000), ("spill", 0, 1900), ("transfer", 9500, 9500)]


def test_it_keeps_who_closed_it_and_the_head_of_the_chain(plant):
    shut(plant, MARCH)
    march, last = period(MARCH), Entry.objects.get(number=3)
    assert (march.state, march.closed_by, march.closed_at) == ("closed", "ada", NOW)
    assert (march.closed_number, march.closed_seal) == (3, last.seal)
    assert Premises.objects.get().closed_through == MARCH


@pytest.mark.parametrize(
    ("month", "reason"),
    [
        (date(2026, 11, 1), "November 2026 is not over yet"),
        (APRIL, "Close March 2026 first"),
        (date(2026, 2, 1), "The book begins in March 2026"),
    ],
)
def test_months_are_closed_in_order_and_when_they_are_over(plant, month, reason):
    with pytest.raises(NotClosable, match=reason):
        shut(plant, month)
    assert not FlowTotal.objects.exists()


def test_a_month_is_closed_once(plant):
    shut(plant, MARCH)
    with pytest.raises(NotClosable, match="closed already"):
        shut(plant, MARCH)


def test_a_month_without_an_act_closes_with_its_openings(plant):
    shut(plant, MARCH, APRIL, MAY)
    assert totals.flows_as_closed(period(MAY)) == {}
    assert in_storage(totals.running_at_closing(period(MAY))) == 7600


def test_it_refuses_while_book_and_holdings_differ(plant):
    Holding.objects.filter(account="storage").update(proof_gallons=1)
    with pytest.raises(NotClosable, match="differ in storage for spirits_190"):
        shut(plant, MARCH)
    assert period(MARCH).state == "open"


def test_the_month_is_told_in_the_plants_own_zone(plant):
    """04:30 UTC on 1 April is half past midnight in New York; 03:30 is still 31 March there."""
    assert month_of(plant, on(31, hour=3)) == MARCH
    assert month_of(plant, on(31, hour=4)) == APRIL
    post(plant, "late evening", draw("N-1", 10, 19), at=on(31, hour=3))
    assert Entry.objects.get(key="late evening").period == period(MARCH)


def test_a_late_record_says_how_it_is_booked(plant):
    shut(plant, MARCH)
    with pytest.raises(MonthClosed, match="March 2026 is closed"):
        post(plant, "late", draw("N-1", 10, 19), at=on(12))
    with pytest.raises(BadFact, match="Say why"):
        post(plant, "late", draw("N-1", 10, 19), at=on(12), late="open")


def test_booked_in_the_open_month_it_counts_there(plant):
    shut(plant, MARCH)
    entry = post(plant, "late", draw("N-1", 10, 19), at=on(12), late="open", reason="slip").entry
    assert (entry.period.month, entry.amends, entry.happened_at) == (APRIL, None, on(12))
    assert by_purpose(totals.flows(period(MARCH))) == {"receive": 19000, "spill": 1900}
    assert by_purpose(totals.flows(period(APRIL))) == {"spill": 19, "transfer": 9500}
    assert in_storage(totals.running_before(plant, APRIL)) == 17100


def test_an_amendment_counts_in_the_closed_month_and_later_openings_follow(plant):
    shut(plant, MARCH, APRIL)
    entry = post(plant, "late", draw("N-1", 10, 19), at=on(12), late="amend", reason="slip").entry
    assert (entry.period.month, entry.amends.month) == (MAY, MARCH)
    assert by_purpose(totals.flows_as_closed(period(MARCH)))["spill"] == 1900
    assert by_purpose(totals.flows(period(MARCH)))["spill"] == 1919
    assert totals.flows(period(MAY)) == {}
    assert in_storage(totals.running_before(plant, MARCH)) == 0
    assert in_storage(totals.running_before(plant, APRIL)) == 17100 - 19
    assert in_storage(totals.running_before(plant, MAY)) == 7600 - 19


def test_closing_the_month_of_an_amendment_carries_it_on(plant):
    shut(plant, MARCH, APRIL)
    post(plant, "late", draw("N-1", 10, 19), at=on(12), late="amend", reason="slip")
    june = date(2026, 6, 1)
    before = totals.running_before(plant, june)
    shut(plant, MAY)
    assert totals.flows_as_closed(period(MAY)) == {}
    assert totals.running_before(plant, june) == before
    assert in_storage(before) == 7600 - 19
    assert verify(plant).faults == []


def test_a_reversal_that_amends_cancels_in_the_closed_month(plant):
    shut(plant, MARCH)
    take_back(plant, Entry.objects.get(number=2), "back", late="amend")
    assert by_purpose(totals.flows(period(MARCH))) == {"receive": 19000}
    assert by_purpose(totals.flows_as_closed(period(MARCH)))["spill"] == 1900


def test_running_sums_equal_the_sum_of_all_movements(plant):
    shut(plant, MARCH, APRIL)
    everything = totals.grouped(Movement.objects.all())
    assert totals.running_at_closing(period(APRIL)) == everything


def test_another_premises_keeps_its_own_months(plant):
    other = make_plant("DSP-XX-00001")
    post(other, "in", receive(), at=on(5))
    shut(plant, MARCH)
    post(other, "out", draw("N-1", 10, 19), at=on(10))
    assert in_storage(totals.running_before(plant, APRIL)) == 17100
    assert in_storage(totals.running_before(other, APRIL)) == 18981


def test_taking_back_a_late_record_cancels_where_it_counted(plant):
    """Happened in March, booked in April: its reversal falls in April, whatever March is."""
    shut(plant, MARCH)
    late = post(plant, "late", draw("N-1", 10, 19), at=on(12), late="open", reason="slip").entry
    back = take_back(plant, late, "back", late="").entry
    assert (back.period.month, back.amends, back.happened_at) == (APRIL, None, on(12))
    assert by_purpose(totals.flows(period(APRIL))) == {"transfer": 9500}
    assert by_purpose(totals.flows(period(MARCH))) == {"receive": 19000, "spill": 1900}


def test_taking_back_an_amendment_amends_the_same_month(plant):
    shut(plant, MARCH, APRIL)
    late = post(plant, "late", draw("N-1", 10, 19), at=on(12), late="amend", reason="slip").entry
    back = take_back(plant, late, "back", late="amend").entry
    assert (back.period.month, back.amends.month) == (MAY, MARCH)
    assert totals.flows(period(MARCH)) == totals.flows_as_closed(period(MARCH))


def test_a_month_before_the_book_began_has_no_report_to_amend(plant):
    shut(plant, MARCH)
    with pytest.raises(BadFact, match="no report of February 2026 to amend"):
        post(plant, "old", receive(vessel="T-2"), at=on(-10), late="amend", reason="slip")
    assert verify(plant).faults == []
