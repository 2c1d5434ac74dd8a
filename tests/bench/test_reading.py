"""The month report at 1 and 10 years of history, and one page each at 100,000 movements.

    python -m pytest -m bench -s tests/bench

Aim: the report at most 5 ms above its bare grouped SQL and flat from 1 to 10 years; no page
above 12 queries.
"""

from time import perf_counter

import pytest
from django.db import connection
from django.db.models import Sum
from django.test import Client
from django.urls import reverse

from ledger import totals
from ledger.closing import differences
from ledger.models import Movement, Period, Premises
from ledger.verifying import verify
from reports.month_book import read_book
from reports.month_end import filings_of
from tests.bench.season import FIRST, Loader
from tests.bench.timing import counted, milliseconds, tell
from tests.world import make_person, make_plant

pytestmark = [pytest.mark.bench, pytest.mark.django_db(transaction=True)]
ROUNDS = 15


def load(months):
    premises = make_plant()
    start = perf_counter()
    count = Loader(premises).load(months)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    tell(f"loaded {count:,} movements of {months} months in {perf_counter() - start:.0f} s")
    return Premises.objects.get(pk=premises.pk)


def bare(period):
    """The month's movements grouped by flow: one statement, no objects."""
    rows = Movement.objects.filter(period=period).values_list(*totals.GROUP)
    rows = rows.annotate(Sum("amount"), Sum("wine_gallons"), Sum("proof_gallons")).order_by()
    sql, params = rows.query.sql_with_params()
    with connection.cursor() as cursor:
        cursor.execute(sql, params)
        return cursor.fetchall()


def tell_report(premises, month):
    period = Period.objects.get(premises=premises, month=month)
    floor = milliseconds(lambda: bare(period), ROUNDS)
    jobs = {
        "flows + openings": lambda: (totals.flows(period), totals.running_before(premises, month)),
        "month book": lambda: read_book(premises, month),
        "all filings": lambda: filings_of(premises, month),
    }
    for name, job in jobs.items():
        job()
        with counted() as queries:
            job()
        taken = milliseconds(job, ROUNDS)
        tell(
            f"  {month:%Y-%m} ({period.state}) {name}: {taken:.1f} ms, bare grouped SQL "
            f"{floor:.1f} ms, +{taken - floor:.1f} ms, {taken / floor:.1f}x, "
            f"{len(queries)} queries"
        )


@pytest.mark.parametrize("months", [12, 120])
def test_the_report_against_its_bare_query(months):
    premises = load(months)
    for month in sorted({11, months // 2, months - 1, months}):
        tell_report(premises, FIRST.replace(year=FIRST.year + (month - 1) // 12,
                                            month=(month - 1) % 12 + 1))  # fmt: skip
    tell(f"  book against holdings: {milliseconds(lambda: differences(premises), 3):.0f} ms")


def page(client, name, *args):
    address = reverse(name, args=args)
    assert client.get(address).status_code == 200
    with counted() as queries:
        answer = client.get(address)
    taken = milliseconds(lambda: client.get(address), ROUNDS)
    size = len(answer.content) // 1024
    tell(f"  page {name} {' '.join(map(str, args))}: {taken:.0f} ms, {len(queries)} queries, "
         f"{size} KB")  # fmt: skip


def test_the_pages_at_a_hundred_thousand_movements():
    premises = load(107)
    client = Client()
    client.force_login(make_person(premises, "ada", "owner"))
    for name, *args in [
        ("floor",), ("book",), ("entry", 15000), ("vessel", "STORE"), ("vessel", "B-003"),
        ("lot", "K2000"), ("reports:filings",), ("reports:month", "2026-11"),
        ("reports:month", "2026-10"), ("reports:form", "2026-10", "storage"),
    ]:  # fmt: skip
        page(client, name, *args)
    start = perf_counter()
    report = verify(premises)
    taken = perf_counter() - start
    assert report.faults == []
    tell(f"  verify: {taken:.1f} s, {report.movements / taken:,.0f} movements a second")
