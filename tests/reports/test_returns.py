"""The tax return: lines of TTB F 5000.24, adjustments, prepayment, and what was filed stays.

Sources: 27 CFR 19.233 (prepayment), 19.234 (a return each period), 19.235-19.237 (periods),
19.465 (shortages), 19.611-19.612 (documents); 26 U.S.C. 5001 (rates). The months are invented:
64.20 PG on 501 and 2.14 on 502, 0.18 short at the count, all in March 2026.
"""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from distillery.models import DatedSetting
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.reversing import reversal
from reports.faces import pdf
from reports.faces.return_sheet import lines_of, sheet_of_return
from reports.models import Adjustment, Prepayment
from reports.return_filing import figure_on, file_return, years_for
from reports.return_kept import figure_as_filed
from reports.return_ties import against_reports
from reports.told import Told
from tests.reports.months import LATER, remove

Q1, Q2, Q3 = date(2026, 3, 1), date(2026, 5, 1), date(2026, 8, 1)
TOLD = Told(filed_on=date(2026, 4, 14), filed_by="Ada Quay", how="portal", confirmation="26X")


def figure(book, day=Q1, now=LATER):
    book.premises.refresh_from_db()
    return figure_on(book.premises, day, now=now)


def lines(found):
    return {number: str(value) for number, _, value in lines_of(found) if value is not None}


def file(book, day=Q1, told=TOLD, now=LATER):
    return file_return(book.premises, day, told, by="ada", now=now)


def test_line_nine_is_the_tax_of_the_periods_documents(book):
    """64.2 and 2.1 PG at 2.70 are 173.34 and 5.67; the shortage stands in Schedule A."""
    found = figure(book)
    assert lines(found) == {
        "9": "179.01", "17": "179.01", "18": "0.54", "19": "179.55", "20": "0.00", "21": "179.55",
    }  # fmt: skip
    (short,) = found.increasing
    assert "19.465" in short.explanation
    assert (found.period.serial, found.period.due) == ("TR-2026-1", date(2026, 4, 14))


def test_a_plant_may_put_a_shortage_on_line_nine(book):
    DatedSetting.objects.create(
        premises=book.premises, name="shortage_on", value="line_9", effective=date(2026, 1, 1)
    )
    found = lines(figure(book))
    assert (found["9"], found["18"]) == ("179.55", "0.00")


def test_a_return_is_due_for_a_period_without_tax(book):
    """27 CFR 19.234."""
    assert set(lines(figure(book, Q2)).values()) == {"0.00"}


def test_a_return_is_filed_after_its_period_and_in_order(book):
    with pytest.raises(BadFact, match="has not ended"):
        file(book, now=datetime(2026, 3, 31, tzinfo=UTC))
    with pytest.raises(BadFact, match="File TR-2026-1 first"):
        file(book, Q2)
    early = Told(filed_on=date(2026, 3, 30), filed_by="Ada Quay", how="paper")
    with pytest.raises(BadFact, match="after its period") as caught:
        file(book, told=early)
    assert caught.value.field == "filed_on"
    assert file(book).pdf_hash
    with pytest.raises(BadFact, match="adjusted on the next one"):
        file(book)


def test_a_late_removal_goes_on_the_next_return(book):
    """A removal dated in a period already filed is an adjustment, not slipped in."""
    kept = file(book)
    remove(book, "2026-03-28 10:00", "503", 6, 60, 107)
    assert lines(figure_as_filed(kept))["9"] == "179.01"
    later = figure(book, Q2)
    assert lines(later)["9"] == "0.00"
    (item,) = later.increasing
    # 1.07 PG is 1.1 to the tenth (19.612), at 2.70
    assert (str(item.tax), item.of, item.document) == ("2.97", "TR-2026-1", "503")


def test_an_adjustment_is_taken_once(book):
    file(book)
    remove(book, "2026-03-28 10:00", "503", 6, 60, 107)
    file(book, Q2, Told(filed_on=date(2026, 7, 14), filed_by="Ada Quay", how="portal"))
    assert figure(book, Q3).increasing == ()


def test_a_document_that_shrank_is_an_overpayment_on_schedule_b(book):
    file(book)
    entry = book.premises.entries.get(document="502")
    book.post("2026-04-02 10:00", *_back(entry), reverses=entry, reason="never left")
    later = figure(book, Q2)
    (item,) = later.decreasing
    assert (str(item.tax), lines(later)["21"]) == ("5.67", "-5.67")


def _back(entry):
    return reversal(entry, Look(entry.premises, LATER)).legs


def test_an_approved_claim_decreases_what_is_due(book):
    Adjustment.objects.create(
        premises=book.premises, schedule="B", found_on=date(2026, 2, 1), claim="2026-77",
        explanation="Spirits returned", tax=Decimal("10.00"), recorded_by="ada",
    )  # fmt: skip
    found = figure(book)
    (item,) = found.decreasing
    assert item.explanation == "Spirits returned, claim 2026-77"
    assert lines(found)["21"] == "169.55"


def test_interest_and_penalty_stand_in_schedule_a(book):
    Adjustment.objects.create(
        premises=book.premises, schedule="A", found_on=date(2026, 2, 1), explanation="Late return",
        tax=Decimal(0), interest=Decimal("1.25"), penalty=Decimal("5.00"), recorded_by="ada",
    )  # fmt: skip
    assert lines(figure(book))["18"] == "6.79"


def test_what_was_prepaid_is_not_paid_again(book):
    """27 CFR 19.233: a prepayment return covers the removals it names."""
    Prepayment.objects.create(
        premises=book.premises, year=2026, number=1, paid_at=LATER, documents=["501"],
        tax=Decimal("173.34"), recorded_by="ada",
    )  # fmt: skip
    found = figure(book)
    assert (lines(found)["9"], found.prepaid[0][0]) == ("5.67", "P-2026-1")


def test_a_filed_return_reads_back_as_it_was(book):
    before = figure(book)
    kept = figure_as_filed(file(book))
    assert lines(kept) == lines(before)
    assert [one.number for one in kept.documents] == [one.number for one in before.documents]


def test_the_paper_is_the_same_for_the_same_figures(book):
    assert pdf.render([sheet_of_return(figure(book))]) == pdf.render(
        [sheet_of_return(figure(book))]
    )


def test_a_return_ties_to_the_reports_of_its_months(book):
    """5110.28 lines 33 and 45 of March: 66.34 and 0.18 PG; the documents say the same."""
    years = years_for(book.premises, Q1)
    tie = against_reports(years, figure(book).period)
    assert (tie.left, tie.right, tie.holds) == (6652, 6652, True)


def test_a_half_month_is_not_held_against_monthly_reports(book):
    DatedSetting.objects.create(
        premises=book.premises, name="return_period", value="semimonthly",
        effective=date(2026, 1, 1),
    )  # fmt: skip
    years = years_for(book.premises, Q1)
    assert against_reports(years, figure(book, date(2026, 3, 20)).period) is None
