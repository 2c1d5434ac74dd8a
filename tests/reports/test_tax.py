"""The tax figure: tiers of the calendar year, documents, shortages, and the law's tenth.

Sources: 26 U.S.C. 5001(a)(1) and (c)(1) for rates and tiers, 27 CFR 19.611-19.612 for documents
and the tenth, 19.465 for shortages. The tax to the cent is common practice, no source.
"""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from distillery.models import DatedSetting
from ledger.closing import close
from ledger.errors import BadFact
from ledger.models import Entry
from ledger.plan import Leg, Place
from reports.month_book import read_book
from reports.rates import rates_on, split
from reports.tax import tax_from, to_tenth
from tests.reports.months import APRIL, FEBRUARY, JANUARY, LATER, MARCH, leg, remove, spirits

RATES = rates_on(date(2026, 1, 1))


def parts(used, proof_gallons):
    found = split(Decimal(proof_gallons), RATES, used=Decimal(used))
    return [(str(rate), str(share)) for rate, share in found]


@pytest.mark.parametrize(
    ("used", "removed", "expected", "tax"),
    [
        ("99950.0", "100.0", [("2.70", "50.0"), ("13.34", "50.0")], "802.00"),
        ("22230000.0", "1.0", [("13.50", "1.0")], "13.50"),
        ("0", "10.0", [("2.70", "10.0")], "27.00"),
    ],
)
def test_a_removal_is_split_where_a_tier_ends(used, removed, expected, tax):
    """26 U.S.C. 5001(c)(1): 100,000 PG at 2.70, the next 22,130,000 at 13.34, then 13.50."""
    assert parts(used, removed) == expected
    assert sum(Decimal(rate) * Decimal(share) for rate, share in expected) == Decimal(tax)


def test_a_hundred_cases_of_eighty_proof():
    """100 cases of 12 x 750 mL at 80 proof: 237.75 WG, 190.2 PG, 513.54 at 2.70.

    27 CFR 19.582(b) for liters to gallons, 30.52 for cases, 19.612 for the tenth.
    """
    wine = (Decimal("9.00") * 100 * Decimal("0.264172")).quantize(Decimal("0.01"))
    proof_gallons = to_tenth(int(wine * 80))
    assert (wine, proof_gallons) == (Decimal("237.75"), Decimal("190.2"))
    assert proof_gallons * Decimal("2.70") == Decimal("513.54").quantize(Decimal("0.001"))


@given(
    st.decimals(0, 30_000_000, places=1),
    st.lists(st.decimals(-50_000, 50_000, places=1), max_size=6),
)
def test_splitting_loses_nothing_and_taking_back_undoes_it(used, removals):
    """Whatever is split adds up, and the reverse of a removal is its exact negative."""
    for removed in removals:
        shares = split(removed, RATES, used=used)
        assert sum(share for _, share in shares) == removed
        back = split(-removed, RATES, used=used + removed)
        assert back == tuple((rate, -share) for rate, share in shares)
        used += removed


@pytest.mark.parametrize(
    ("hundredths", "tenth"), [(6420, "64.2"), (214, "2.1"), (215, "2.2"), (-215, "-2.2")]
)
def test_a_document_is_rounded_to_the_tenth_half_up(hundredths, tenth):
    assert str(to_tenth(hundredths)) == tenth


def test_the_months_documents_and_its_shortage(book):
    """Invoices 501 and 502, and the bottle missing at the count of 31 March (19.465)."""
    figure = tax_from(read_book(book.premises, MARCH))
    told = [(d.number, d.kind, str(d.proof_gallons), str(d.tax)) for d in figure.documents]
    assert told == [
        ("501", "removal", "64.2", "173.34"),
        ("502", "removal", "2.1", "5.67"),
        ("entry 12", "bottled shortage", "0.2", "0.54"),
    ]
    assert [str(d.day) for d in figure.documents] == ["2026-03-25", "2026-03-27", "2026-03-31"]
    assert (str(figure.proof_gallons), str(figure.tax)) == ("66.5", "179.55")
    assert figure.book_proof_gallons == 6652
    assert [str(tier.used) for tier in figure.tiers] == ["66.5", "0.0", "0.0"]


def test_several_entries_of_one_document_are_one_withdrawal(book):
    """27 CFR 19.611: the total of the invoice is the withdrawal; tenths are of the total."""
    for minute in range(4):
        remove(book, f"2026-04-02 10:0{minute}", "day 2 April", 1, 10, 18)
    document = tax_from(read_book(book.premises, APRIL)).documents[0]
    assert (str(document.proof_gallons), document.entries) == ("0.7", (13, 14, 15, 16))


def test_the_year_goes_on_and_starts_anew(book):
    remove(book, "2026-04-02 10:00", "503", 6, 60, 107)
    figure = tax_from(read_book(book.premises, APRIL))
    assert (str(figure.used_before), str(figure.used_after)) == ("66.5", "67.6")
    assert tax_from(read_book(book.premises, date(2027, 1, 1))).used_after == 0


def test_spirits_without_the_mark_pay_the_general_rate(book):
    lot = spirits("X-1", "rum", reduced_rate=False)
    book.post("2026-04-01 09:00", leg("other_plant X-1", "storage X-1 S-2", "receive", 1000, 1000),
              lots=(lot,))  # fmt: skip
    book.post("2026-04-02 09:00", leg("storage X-1 S-2", "tax_determined X-1", "remove", 100, 100),
              document="504")  # fmt: skip
    figure = tax_from(read_book(book.premises, APRIL))
    assert [(str(s.rate), str(s.tax)) for s in figure.documents[0].shares] == [("13.50", "13.50")]
    assert figure.used_after == figure.used_before


def test_only_losses_marked_as_taxed_are_taxed(book):
    book.post("2026-04-03 09:00", leg("storage N-1 NS", "loss N-1", "theft", 10, 19, taxed=True))
    book.post("2026-04-03 10:00", leg("storage N-1 NS", "loss N-1", "leak", 10, 19))
    figure = tax_from(read_book(book.premises, APRIL))
    assert [(d.kind, str(d.proof_gallons)) for d in figure.documents] == [("taxed loss", "0.2")]


def test_a_removal_taken_back_leaves_no_tax(book):
    removed = remove(book, "2026-04-02 10:00", "505", 6, 60, 107)
    book.post(
        "2026-04-02 10:00",
        Leg(Place("finished", "K-1", "STORE"), Place("tax_determined", "K-1"), "remove",
            -6, -60, -107),
        reverses=Entry.objects.get(pk=removed.pk), reason="typed twice",
    )  # fmt: skip
    figure = tax_from(read_book(book.premises, APRIL))
    assert [(d.number, str(d.tax)) for d in figure.documents] == [("505", "0.00")]


def test_closing_changes_no_tax(book):
    before = tax_from(read_book(book.premises, MARCH))
    for month in (JANUARY, FEBRUARY, MARCH):
        close(book.premises, month, by="ada", now=LATER)
    after = tax_from(read_book(book.premises, MARCH))
    assert (before.documents, before.used_after) == (after.documents, after.used_after)


def test_years_without_a_rate_are_refused_in_words():
    with pytest.raises(BadFact, match="No rate of tax is kept here for December 31, 2017"):
        rates_on(date(2017, 12, 31))


def rule(book, name, value, since=date(2026, 1, 1)):
    DatedSetting.objects.create(
        premises=book.premises, name=name, value=value, effective=since
    )  # fmt: skip


def test_a_plant_may_figure_its_tax_by_the_day(book):
    """27 CFR 19.612(a): a day's proof gallons at each rate to the nearest tenth."""
    remove(book, "2026-03-27 16:00", "503", 1, 20, 18)
    # By document 502 is 2.14 -> 2.1 and 503 is 0.18 -> 0.2; the day's sum 2.32 is 2.3.
    by_document = tax_from(read_book(book.premises, MARCH))
    assert [str(one.proof_gallons) for one in by_document.documents][1:3] == ["2.1", "0.2"]
    rule(book, "tax_basis", "day")
    by_day = tax_from(read_book(book.premises, MARCH))
    day = next(one for one in by_day.documents if one.number == "502, 503")
    assert (str(day.proof_gallons), len(day.entries)) == ("2.3", 2)


def test_a_groups_share_ends_the_lowest_rate_sooner(book):
    """26 U.S.C. 5001(c)(2): one allowance for a controlled group, which may divide it."""
    rule(book, "reduced_share", "60")
    figure = tax_from(read_book(book.premises, MARCH))
    first = figure.documents[0]
    assert [(str(s.rate), str(s.proof_gallons)) for s in first.shares] == [
        ("2.70", "60.0"), ("13.34", "4.2"),
    ]  # fmt: skip


def test_a_rule_does_not_reach_back(book):
    """A dated rule changes no figure of an earlier day."""
    before = tax_from(read_book(book.premises, MARCH))
    rule(book, "tax_basis", "day", since=date(2026, 4, 1))
    rule(book, "reduced_share", "0", since=date(2026, 4, 1))
    assert tax_from(read_book(book.premises, MARCH)).documents == before.documents
