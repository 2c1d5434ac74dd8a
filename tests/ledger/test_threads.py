"""Many hands at one book: exactly what is there is given out, and nobody ends in a lock error."""

from concurrent.futures import ThreadPoolExecutor
from datetime import date
from threading import Barrier

import pytest
from django.db import connection

from ledger import totals
from ledger.closing import close
from ledger.errors import MonthClosed, NotReversible, Short
from ledger.models import Designation, Entry, Holding, Movement, Period
from ledger.posting import Posted
from ledger.verifying import verify
from tests.ledger.raw import NOW, draw, make_plant, post, receive, take_back

pytestmark = pytest.mark.django_db(transaction=True)
HANDS = 8
MARCH = date(2026, 3, 1)


def at_once(jobs):
    """The result or the exception of each job, run by eight threads that start together."""
    together = Barrier(min(HANDS, len(jobs)))

    def run(numbered):
        index, job = numbered
        try:
            if index < together.parties:
                together.wait(timeout=30)
            return job()
        except Exception as error:
            return error
        finally:
            connection.close()

    with ThreadPoolExecutor(HANDS) as pool:
        return list(pool.map(run, enumerate(jobs)))


def kinds(results):
    found = {}
    for result in results:
        name = type(result).__name__
        found[name] = found.get(name, 0) + 1
    return found


@pytest.fixture
def plant():
    """A tank with 200 gallons, 380 proof gallons."""
    premises = make_plant()
    post(premises, "in", receive(wine=20000, proof=38000))
    return premises


def test_forty_draws_from_a_tank_that_holds_half_of_them(plant):
    def job(index):
        return lambda: post(plant, f"draw-{index}", draw("N-1", 1000, 1900))

    results = at_once([job(index) for index in range(40)])
    assert kinds(results) == {Posted.__name__: 20, Short.__name__: 20}
    assert all("only 0.00 WG" in str(error) for error in results if isinstance(error, Short))
    row = Holding.objects.get()
    assert (row.wine_gallons, row.proof_gallons) == (0, 0)
    numbers = Entry.objects.order_by("number").values_list("number", flat=True)
    assert list(numbers) == list(range(1, 22))
    assert verify(plant).faults == []


def test_one_key_from_many_hands_is_one_entry(plant):
    results = at_once([lambda: post(plant, "same", draw("N-1", 1000, 1900))] * HANDS)
    assert kinds(results) == {"Posted": HANDS}
    assert sum(result.is_new for result in results) == 1
    assert {result.entry.number for result in results} == {2}
    assert Holding.objects.get().wine_gallons == 19000


def test_an_entry_is_taken_back_once(plant):
    """Both people read the entry before either holds the lock."""
    drawn = post(plant, "out", draw("N-1", 1000, 1900)).entry

    def job(index):
        entry = Entry.objects.select_related("reversed_by").get(pk=drawn.pk)
        return lambda: take_back(plant, entry, f"back-{index}")

    results = at_once([job(index) for index in range(HANDS)])
    assert kinds(results) == {Posted.__name__: 1, NotReversible.__name__: HANDS - 1}
    assert Holding.objects.get().wine_gallons == 20000


def test_closing_a_month_races_the_postings_into_it(plant):
    def job(index):
        return lambda: post(plant, f"draw-{index}", draw("N-1", 100, 190))

    jobs = [job(index) for index in range(24)]
    jobs.insert(5, lambda: close(plant, MARCH, by="ada", now=NOW))
    results = at_once(jobs)
    assert set(kinds(results)) <= {"Posted", MonthClosed.__name__, "Period"}
    period = Period.objects.get(month=MARCH)
    assert period.state == Period.State.CLOSED
    last = Entry.objects.get(number=period.closed_number)
    assert period.closed_seal == last.seal
    assert not Entry.objects.filter(number__gt=last.number, period=period).exists()
    # None at all when the closing came first of all.
    assert kinds(results).get("Posted", 0) == last.number - 1
    booked = totals.grouped(Movement.objects.filter(period=period))
    assert totals.flows_as_closed(period) == booked
    assert verify(plant).faults == []


def test_two_premises_that_first_use_one_designation_do_not_collide(plant):
    """A designation is shared by all premises, so no premises' lock covers it."""
    other = make_plant("DSP-XX-00001")

    def job(premises, index):
        plan = receive(type_code=f"kind {index}")
        return lambda: post(premises, f"new-{index}", plan)

    jobs = [job(premises, index) for index in range(40) for premises in (plant, other)]
    assert kinds(at_once(jobs)) == {"Posted": 80}
    assert Designation.objects.filter(type_code__startswith="kind").count() == 40
    assert verify(plant).faults == verify(other).faults == []
