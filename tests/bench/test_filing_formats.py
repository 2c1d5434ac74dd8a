"""One month's whole set of filings in every format, against the month's bare grouped query.

    python -m pytest -m bench -s tests/bench/test_filing_formats.py

At one and ten years of history, and at a million movements (some ninety years of this plant).
Aim: the figures at most 5 ms above the bare query, flat with history; what a format adds is the
drawing of it. The return and the calendar stand beside.
"""

from datetime import date, datetime

import pytest
from django.utils import timezone

from ledger.models import Period
from reports.due import due_list
from reports.faces import CONTENT_TYPES
from reports.filing import Wanted, render
from reports.month_end import filings_of
from reports.reconciliation_pages import Span, reading
from reports.return_filing import told_figure, years_for
from tests.bench.season import FIRST
from tests.bench.test_reading import bare, load
from tests.bench.timing import counted, milliseconds, tell

pytestmark = [pytest.mark.bench, pytest.mark.django_db(transaction=True)]
ROUNDS = 7


def month_number(number):
    """The first day of the *number*th month of the loaded book."""
    years, month = divmod(number - 1, 12)
    return date(FIRST.year + years, month + 1, 1)


@pytest.mark.parametrize("months", [12, 120, 1070])
def test_a_months_whole_set_in_every_format(months):
    premises = load(months)
    month = month_number(months - 1)
    period = Period.objects.get(premises=premises, month=month)
    floor = milliseconds(lambda: bare(period), ROUNDS)
    jobs = {"figures and tie-outs": lambda: filings_of(premises, month)}
    for name in CONTENT_TYPES:
        jobs[name] = lambda name=name: render(premises, month, Wanted(), name)
    jobs["return of the quarter"] = lambda: told_figure(years_for(premises, month), month, month)
    quarter = Span(month, month, "a month")
    jobs["reconciliation"] = lambda: reading(premises, quarter)
    now = timezone.make_aware(datetime(month.year, month.month, 20))
    jobs["what is due"] = lambda: due_list(premises, now)
    for name, job in jobs.items():
        job()
        with counted() as queries:
            job()
        taken = milliseconds(job, ROUNDS)
        tell(f"  {months} months, {name}: {taken:.1f} ms, bare grouped SQL {floor:.1f} ms, "
             f"+{taken - floor:.1f} ms, {len(queries)} queries")  # fmt: skip
