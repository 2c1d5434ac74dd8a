"""Forms filled from hand-made months: golden cells, identities, openings and closings.

The figures are ours; which line each act fills is that of the forms themselves (TTB F 5110.40
edition 10-2021, 5110.28 edition 08-2023, official help of 5110.11, 27 CFR 19.590, 19.601).
"""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from ledger import totals
from ledger.closing import close
from ledger.models import Period
from reports.filling import fill, fill_from, sources_in
from reports.forms import FORMS
from reports.month_book import read_book
from reports.month_end import filings_of
from tests.reports.months import APRIL, FEBRUARY, JANUARY, LATER, MARCH, leg, remove, spirits

PRODUCTION, STORAGE, PROCESSING = FORMS.values()


def figures(form, premises, month, source=""):
    """Cells that are not zero: {"part line column": hundredths}."""
    filled = fill(form, premises, month, source)
    return {
        f"{part.part} {line.number} {key}".strip(): cell.value
        for part, line, key, cell in filled.every_cell()
        if cell.value
    }


def test_new_make_into_barrels_and_a_tank(book):
    """5110.40 lines 11 and 14, part III by cooperage; 5110.11 line 2. The tank is column d."""
    assert figures(PRODUCTION, book.premises, JANUARY) == {
        "I 11 b": 15000, "I 11 l": 15000, "I 14 b": 15000, "I 14 l": 15000,
        "III 1 b": 9440, "III 1 c": 2360, "III 1 d": 3200,
    }  # fmt: skip
    assert figures(STORAGE, book.premises, JANUARY) == {
        f"{line} {key}": 15000 for line in ("2", "6", "23", "24") for key in "bm"
    }


def test_gin_through_production(book):
    """5110.11 line 18 is 5110.40 line 15; part V is what was charged; gin is produced."""
    assert figures(PRODUCTION, book.premises, FEBRUARY) == {
        "I 9 g": 11020, "I 9 l": 11020, "I 14 g": 11020, "I 14 l": 11020,
        "I 15 j": 12000, "I 15 l": 12000, "V 1 b": 11870,
    }  # fmt: skip
    storage = figures(STORAGE, book.premises, FEBRUARY)
    assert {key: value for key, value in storage.items() if key.endswith("j")} == {
        "2 j": 21960, "6 j": 21960, "18 j": 12000, "23 j": 9960, "24 j": 21960,
    }  # fmt: skip
    processing = figures(PROCESSING, book.premises, FEBRUARY)
    assert processing["I 2 c"] == processing["IV 60 b"] == processing["IV 67 b"] == 11020


def test_dump_bottling_removal_and_shortage(book):
    found = figures(PROCESSING, book.premises, MARCH)
    assert found == {
        "I 1 c": 11020, "I 2 c": 8800, "I 8 c": 19820, "I 9 c": 10700, "I 24 c": 320,
        "I 25 c": 8800, "I 26 c": 19820,
        "II 28 b": 10700, "II 31 b": 10700, "II 33 b": 6634, "II 45 b": 18, "II 46 b": 4048,
        "II 47 b": 10700,
        "IV 55 b": 8800, "IV 67 b": 8800, "IV 60 c": 5700, "IV 67 c": 5700,
    }  # fmt: skip
    storage = figures(STORAGE, book.premises, MARCH)
    assert (storage["17 b"], storage["22 b"], storage["23 b"]) == (8800, 640, 5560)


def test_quarter_end_inventories(book):
    """17a and 17b in March, June, September and December only (5110.40)."""
    assert "I 17a l" not in figures(PRODUCTION, book.premises, FEBRUARY)
    found = figures(PRODUCTION, book.premises, MARCH)
    assert (found["I 17a j"], found["I 17b g"]) == (130, 640)
    lines = fill(PRODUCTION, book.premises, MARCH).part("I")
    assert lines.line("17a").note == "counted, entry 12 for March 31"


def test_a_quarter_end_without_a_count_says_so(world, book):
    book.post("2026-06-30 12:00", leg("storage N-1 NS", "loss N-1", "leak", 0, 1))
    june = JANUARY.replace(month=6)
    note = fill(PRODUCTION, world.premises, june).part("I").line("17a").note
    assert note == "book figure, not counted"


@pytest.mark.parametrize("month", [JANUARY, FEBRUARY, MARCH, APRIL])
def test_every_check_holds(book, month):
    filings = filings_of(book.premises, month)
    assert [one for one in filings.checks if not one.holds] == []
    assert len(filings.checks) >= 20


def test_openings_are_last_months_closings_over_three_closed_months(book):
    """Official help: opening is last month's closing. Closing a month changes no figure."""
    before = [figures(form, book.premises, month) for form in FORMS.values()
              for month in (JANUARY, FEBRUARY, MARCH)]  # fmt: skip
    for month in (JANUARY, FEBRUARY, MARCH):
        close(book.premises, month, by="ada", now=LATER)
    after = [figures(form, book.premises, month) for form in FORMS.values()
             for month in (JANUARY, FEBRUARY, MARCH)]  # fmt: skip
    assert before == after
    for form, part, opening, closing in (
        (STORAGE, "", "1", "23"), (PROCESSING, "I", "1", "25"), (PROCESSING, "II", "27", "46"),
    ):  # fmt: skip
        for month, following in ((JANUARY, FEBRUARY), (FEBRUARY, MARCH), (MARCH, APRIL)):
            closed = fill(form, book.premises, month).part(part).line(closing).cells
            opened = fill(form, book.premises, following).part(part).line(opening).cells
            assert {k: c.value for k, c in closed.items()} == {
                k: c.value for k, c in opened.items()
            }


@pytest.mark.parametrize("closed", [0, 1, 2, 3])
@pytest.mark.parametrize("month", [JANUARY, FEBRUARY, MARCH, APRIL])
def test_the_book_is_read_as_the_ledger_sums_it(book, closed, month):
    """The reports' own few queries against the ledger's sums, whatever is closed."""
    for shut in (JANUARY, FEBRUARY, MARCH)[:closed]:
        close(book.premises, shut, by="ada", now=LATER)
    if closed > 1:
        leak = leg("storage S-1 S-1", "loss S-1", "leak", 0, 5)
        book.post("2026-01-31 12:00" if closed == 2 else "2026-02-20 12:00", leak,
                  late="amend", reason="found the slip")  # fmt: skip
    found = read_book(book.premises, month)
    period = Period.objects.filter(premises=book.premises, month=month).first()
    assert found.flows == totals.flows(period)
    expected = totals.balances(totals.running_before(book.premises, month))
    assert {k: v for k, v in found.opening.items() if any(v)} == {
        key: three for key, three in expected.items() if any(three)
    }


def test_an_amended_month_says_so_and_later_openings_follow(book):
    close(book.premises, JANUARY, by="ada", now=LATER)
    assert fill(STORAGE, book.premises, JANUARY).status == "closed"
    leak = leg("storage S-1 S-1", "loss S-1", "leak", 0, 50)
    book.post("2026-01-30 12:00", leak, late="amend", reason="found the slip")
    filled = fill(STORAGE, book.premises, JANUARY)
    assert filled.status == "closed, amended since"
    assert filled.value("", "22", "b") == 50
    assert fill(STORAGE, book.premises, FEBRUARY).value("", "1", "b") == 14950
    failed = [one for one in filings_of(book.premises, FEBRUARY).checks if not one.holds]
    assert [(one.id, one.blocking) for one in failed] == [("opening-storage", False)]


def test_a_month_without_entries_reports_zeros(world):
    """A report showing zeros is still due (official help of all three forms)."""
    for form in FORMS.values():
        filled = fill(form, world.premises, JANUARY)
        assert (filled.status, filled.edition) != ("", "")
        assert all(cell.value == 0 for _, _, _, cell in filled.every_cell())


def test_one_storage_report_a_source(book):
    """Scotch and Canadian whisky share the imported report, Puerto Rican rum has its own.

    Source: official tutorial of TTB F 5110.11, "Before You Begin".
    """
    lots = [
        ("SC", "whisky", "imported"),
        ("CA", "whisky", "imported"),
        ("PR", "rum", "puerto_rican"),
    ]
    for number, (code, kind, source) in enumerate(lots, 1):
        receive = leg(f"customs {code}", f"storage {code} S-{number}", "receive", 1000, 1000)
        if code == "CA":
            receive = leg(f"customs {code}", f"storage {code} P-1", "receive", 1000, 1000)
        if code == "PR":
            receive = leg(f"customs {code}", f"storage {code} P-2", "receive", 1000, 1000)
        book.post(f"2026-04-0{number} 10:00", receive,
                  lots=(spirits(code, kind, source=source),))  # fmt: skip
    assert sources_in(read_book(book.premises, APRIL)) == ("domestic", "imported", "puerto_rican")
    imported = fill(STORAGE, book.premises, APRIL, "imported")
    assert imported.value("", "3", "b") == 2000
    assert fill(STORAGE, book.premises, APRIL).value("", "3") == 0
    assert fill(PROCESSING, book.premises, APRIL).value("I", "2") == 0


def test_opening_balances_fill_line_one(world, book):
    """The first month's opening is what was last filed on paper, never a deposit."""
    book.post(
        "2026-04-01 00:00",
        leg("opening OB", "storage OB S-2", "opening", 1000, 1180),
        lots=(spirits("OB", "rum"),),
    )
    filled = fill(STORAGE, world.premises, APRIL).part("")
    assert (filled.value("1", "f"), filled.value("2", "f"), filled.value("23", "f")) == (
        1180,
        0,
        1180,
    )


def test_gin_redistilled_inside_processing_is_a_memo(book):
    """Net convention: line 20 empty with a note, the run's loss on 24, in and out in part III."""
    book.post(
        "2026-04-02 09:00",
        leg("storage N-1 NS", "processing B-2 P-1", "transfer", 5242, 9960),
        lots=(spirits("B-2", "spirits_190", stage="batch"),),
    )
    book.post(
        "2026-04-02 12:00",
        leg("processing B-2 P-1", "processing R-2 COL", "redistil_in", 5242, 9960),
        lots=(spirits("R-2", "gin", stage="run"),),
    )
    book.post(
        "2026-04-02 18:00",
        leg("processing R-2 COL", "processing B-3 P-1", "redistil_out", 5000, 9640),
        leg("processing R-2 COL", "loss R-2", "redistil", 242, 320),
        lots=(spirits("B-3", "gin", stage="batch"),),
    )
    filled = fill(PROCESSING, book.premises, APRIL)
    line = filled.part("I").line("20")
    assert (dict(line.cells), line.note) == ({}, "see memo, part III")
    assert (filled.value("I", "2", "c"), filled.value("I", "24", "c")) == (9960, 320)
    assert (filled.value("III", "memo", "b"), filled.value("III", "memo", "c")) == (9960, 9640)
    failed = [one.id for one in filings_of(book.premises, APRIL).checks if not one.holds]
    assert failed == []


def test_written_in_kinds_get_rows_of_their_own(book):
    book.post(
        "2026-04-01 09:00",
        leg("distilled H-9", "production H-9 RCV-1", "collect", 1000, 1200),
        lots=(spirits("H-9", "whisky", "wheat whisky"),),
    )
    book.post(
        "2026-04-02 09:00",
        leg("production H-9 RCV-1", "storage S-9 S-2", "deposit", 500, 600, cooperage="tank"),
        leg("production H-9 RCV-1", "storage S-8 P-1", "deposit", 500, 600, cooperage="tank"),
        lots=(spirits("S-9", "whisky", "Wheat Whisky"), spirits("S-8", "whisky", "malt")),
    )
    rows = [
        row for row in fill(PRODUCTION, book.premises, APRIL).part("III").lines if row.of == "5-8"
    ]
    assert [(row.number, row.caption, row.cells["d"].value) for row in rows] == [
        ("5", "malt", 600), ("6", "wheat", 600),
    ]  # fmt: skip


def test_what_memory_alone_supports_is_marked(book):
    mark = "check against the current form"
    storage = fill(STORAGE, book.premises, MARCH).part("")
    assert all(mark in storage.line(number).note for number in ("7", "16", "19", "21", "22"))
    assert mark not in storage.line("17").note
    processing = fill(PROCESSING, book.premises, MARCH)
    assert all(mark in " ".join(processing.part(name).notes) for name in ("III", "IV"))
    assert mark in processing.part("II").line("40").note


def test_a_month_is_read_in_few_queries(book):
    close(book.premises, JANUARY, by="ada", now=LATER)
    for month in (JANUARY, FEBRUARY, MARCH):
        with CaptureQueriesContext(connection) as seen:
            filled = read_book(book.premises, month)
            for form in FORMS.values():
                fill_from(filled, form)
        # Six for the book, three for the forms as the plant has them; flat with history.
        assert len(seen) <= 9, [query["sql"] for query in seen]
    remove(book, "2026-03-28 10:00", "503", 1, 10, 18)
