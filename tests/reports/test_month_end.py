"""Closing: what the form or the law states stops it, what is inferred warns, months in order."""

from dataclasses import replace

import pytest

from ledger.errors import NotClosable
from ledger.models import Holding, Period
from reports.month_end import close_month, filings_of
from tests.reports.months import APRIL, FEBRUARY, JANUARY, LATER, leg, spirits


def closing(book, month):
    return close_month(book.premises, month, by="ada", now=LATER)


def test_months_are_closed_in_order(book):
    with pytest.raises(NotClosable, match="Close January 2026 first"):
        closing(book, FEBRUARY)
    assert closing(book, JANUARY).period.state == "closed"
    assert closing(book, FEBRUARY).warnings == ()
    with pytest.raises(NotClosable, match="closed already"):
        closing(book, FEBRUARY)


def test_a_month_that_is_not_over_stays_open(book):
    with pytest.raises(NotClosable, match="is not over yet"):
        close_month(book.premises, JANUARY, by="ada", now=LATER.replace(month=1, day=31))


def test_a_closed_month_tells_what_it_closed_with(book):
    head = book.premises
    head.refresh_from_db()
    period = closing(book, JANUARY).period
    assert (period.closed_by, period.closed_number) == ("ada", head.last_number)
    assert filings_of(book.premises, JANUARY).book.through == (head.last_number, head.last_seal)


def test_a_figure_below_zero_stops_closing(book):
    """No negative entries (official help of the three forms)."""
    book.post("2026-01-30 09:00", leg("storage S-1 S-1", "loss S-1", "leak", 0, -10))
    with pytest.raises(NotClosable) as caught:
        closing(book, JANUARY)
    (reason,) = caught.value.reasons
    assert reason == (
        "TTB F 5110.11 (domestic): no figure below zero: -0.10 against 0.00 PG, line 22 (b)."
    )
    assert Period.objects.get(month=JANUARY, premises=book.premises).state == "open"


def test_imports_on_the_domestic_report_stop_closing(book):
    """Line 3 must be blank on the domestic report (official help of 5110.11)."""
    book.post("2026-01-30 09:00", leg("customs Q-1", "storage Q-1 S-2", "receive", 100, 100),
              lots=(spirits("Q-1", "rum"),))  # fmt: skip
    with pytest.raises(NotClosable, match="line 3, from customs, is empty"):
        closing(book, JANUARY)


def test_a_column_changed_on_the_way_stops_closing(book):
    """Line 31 is line 47 in each column: bottled goods cannot turn into packages unsaid."""
    made = [spirits("B-9", "rum", stage="batch"), spirits("K-9", "rum", form="bottled")]
    book.post("2026-01-30 09:00", leg("other_plant B-9", "processing B-9 P-1", "receive", 99, 99),
              lots=(made[0],))  # fmt: skip
    book.post("2026-01-30 10:00", leg("processing B-9 P-1", "finished K-9 STORE", "bottle", 99, 99),
              lots=(made[1],))  # fmt: skip
    moved = leg("finished K-9 STORE", "finished K-8 STORE", "recase", 9, 9)
    packaged = replace(made[1], code="K-8", form="packaged")
    book.post("2026-01-30 11:00", moved, lots=(packaged,))
    with pytest.raises(NotClosable, match=r"line 31 is line 47: .*column \(b\)"):
        closing(book, JANUARY)


def test_holdings_that_differ_stop_closing(book):
    row = Holding.objects.filter(account="storage", proof_gallons__gt=0).first()
    Holding.objects.filter(pk=row.pk).update(proof_gallons=row.proof_gallons + 1)
    with pytest.raises(NotClosable, match="Movements of storage add up to its vessels"):
        closing(book, JANUARY)


def test_an_amended_month_before_only_warns(book):
    """Opening is last month's closing (official help); the amended report puts it right."""
    assert closing(book, JANUARY).warnings == ()
    book.post("2026-01-29 14:00", leg("storage S-1 S-1", "loss S-1", "leak", 0, 10),
              late="amend", reason="found the slip")  # fmt: skip
    done = closing(book, FEBRUARY)
    assert done.warnings == (
        "Opening of storage is last month's closing: 150.00 against 149.90 PG, "
        "that month was amended after it was closed.",
    )


def test_empty_months_close_too(book):
    for month in (JANUARY, FEBRUARY, FEBRUARY.replace(month=3), APRIL):
        assert closing(book, month).period.state == "closed"


def test_what_is_only_inferred_does_not_block(book):
    """Wine mixed into wine: line 8 = line 26 is the form's, line 10 (b) = 5 (c) our inference."""
    wine = spirits("V-1", "wine")
    book.post("2026-01-30 09:00", leg("winery V-1", "processing V-1 P-1", "receive", 100, 30),
              lots=(wine,))  # fmt: skip
    book.post(
        "2026-01-30 10:00",
        leg("processing V-1 P-1", "processing V-2 P-2", "mix_wine", 100, 30),
        lots=(replace(wine, code="V-2", source="imported"),),
    )
    with pytest.raises(NotClosable, match="line 8 is line 26"):
        closing(book, JANUARY)
    failed = {one.id: one.blocking for one in filings_of(book.premises, JANUARY).checks
              if not one.holds}  # fmt: skip
    assert failed == {"28-bulk": True, "28-wine": False}
