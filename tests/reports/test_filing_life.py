"""The life of a report: closed, filed once as it was told, amended when a correction moves it.

Sources: official help of the three forms (an amended report is complete and marked; opening is
last month's closing), 27 CFR 19.632 (monthly reports, a copy kept), 19.575 (kept for years).
"""

from datetime import date
from hashlib import sha256

import pytest
from django.db import DatabaseError, transaction

from ledger.errors import BadFact
from ledger.models import Period
from ledger.quantities import to_decimal
from reports.amending import to_amend
from reports.filing_life import file_report, paper_again
from reports.kept import from_text, to_text
from reports.models import Filed
from reports.month_end import close_month, filings_of
from reports.told import Told
from tests.reports.months import APRIL, FEBRUARY, JANUARY, LATER, MARCH, leg

TOLD = Told(filed_on=date(2026, 5, 10), filed_by="Ada Quay", how="portal", confirmation="26X1")
FORMS = ("production", "storage", "processing")


def closed(book, *months):
    for month in months:
        close_month(book.premises, month, by="ada", now=LATER)


def file(book, month, form, told=TOLD, **more):
    source = "domestic" if form == "storage" else ""
    return file_report(book.premises, month, form, told, source=source, by="ada", now=LATER, **more)


def filed_through_april(book):
    months = (JANUARY, FEBRUARY, MARCH, APRIL)
    closed(book, *months)
    return {(month, form): file(book, month, form) for month in months for form in FORMS}


def late_leak(book, hundredths=10):
    """A leak of January found after it was filed."""
    book.post("2026-01-29 14:00", leg("storage S-1 S-1", "loss S-1", "leak", 0, hundredths),
              late="amend", reason="found the slip")  # fmt: skip


def test_an_open_month_is_not_filed(book):
    with pytest.raises(BadFact, match="Close January 2026 first"):
        file(book, JANUARY, "storage")


def test_a_report_is_not_filed_before_its_month_ends(book):
    closed(book, JANUARY)
    early = Told(filed_on=date(2026, 1, 31), filed_by="Ada Quay", how="paper")
    with pytest.raises(BadFact, match="after the month has ended") as caught:
        file(book, JANUARY, "storage", early)
    assert caught.value.field == "filed_on"


def test_a_month_is_filed_once_each_of_its_reports_is(book):
    closed(book, JANUARY)
    states = []
    for form in FORMS:
        file(book, JANUARY, form)
        states.append(Period.objects.get(premises=book.premises, month=JANUARY).state)
    assert states == ["closed", "closed", "filed"]


def test_nothing_is_filed_twice_without_a_change(book):
    closed(book, JANUARY)
    file(book, JANUARY, "storage")
    with pytest.raises(BadFact, match="nothing has changed"):
        file(book, JANUARY, "storage")
    assert Filed.objects.count() == 1


def test_a_filed_report_keeps_its_paper_and_its_hash(book):
    closed(book, JANUARY)
    kept = file(book, JANUARY, "storage")
    assert kept.pdf_hash == sha256(bytes(kept.pdf)).hexdigest()
    assert (kept.filed_by, kept.confirmation, kept.seal) == ("Ada Quay", "26X1", kept.seal)
    head = Period.objects.get(premises=book.premises, month=JANUARY)
    assert (kept.through_entry, kept.seal) == (head.closed_number, head.closed_seal)


def test_a_filed_paper_is_drawn_again_to_the_byte_after_later_entries(book):
    kept = filed_through_april(book)[JANUARY, "storage"]
    late_leak(book)
    assert paper_again(kept) == bytes(kept.pdf)


def test_kept_text_reads_back_to_itself(book):
    closed(book, JANUARY)
    kept = file(book, JANUARY, "processing")
    assert to_text(*from_text(kept.content)) == kept.content


def test_the_database_refuses_to_change_what_was_filed(book):
    closed(book, JANUARY)
    kept = file(book, JANUARY, "storage")
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        Filed.objects.filter(pk=kept.pk).update(confirmation="other")
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        Filed.objects.filter(pk=kept.pk).delete()


def test_a_correction_moves_the_openings_of_all_later_reports_by_exactly_itself(book):
    """A leak of 0.10 PG in January: its own lines 22 and 23, then lines 1, 6, 23, 24 after it."""
    filed_through_april(book)
    assert to_amend(book.premises) == []
    late_leak(book)
    found = to_amend(book.premises)
    assert [(one.filed.begin, one.filed.form) for one in found] == [
        (JANUARY, "storage"), (FEBRUARY, "storage"), (MARCH, "storage"), (APRIL, "storage"),
    ]  # fmt: skip
    first = {(one.line, one.column): to_decimal(one.difference) for one in found[0].changes}
    tenth = to_decimal(10)
    # The form: line 22 is other losses, 23 on hand; 24 totals both and so stays.
    assert first == {("22", "b"): tenth, ("23", "b"): -tenth, ("22", "m"): tenth,
                     ("23", "m"): -tenth}  # fmt: skip
    april = {(one.line, one.column): to_decimal(one.difference) for one in found[3].changes}
    assert april == {(line, key): -tenth for line in ("1", "6", "23", "24") for key in "bm"}


def test_an_amended_report_is_complete_and_marked(book):
    filed_through_april(book)
    late_leak(book)
    kept = file(book, JANUARY, "storage")
    form, _ = from_text(kept.content)
    assert (kept.version, form.status) == (1, "amended report")
    assert form.title.startswith("Amended report")
    before, _ = from_text(Filed.objects.get(form="storage", begin=JANUARY, version=0).content)
    assert len(form.parts[0].lines) == len(before.parts[0].lines)
    assert [one.filed.begin for one in to_amend(book.premises)] == [FEBRUARY, MARCH, APRIL]


def test_the_month_itself_still_shows_what_stands_now(book):
    filed_through_april(book)
    late_leak(book)
    book_now = filings_of(book.premises, JANUARY).book
    assert book_now.status == "filed, amended since"
