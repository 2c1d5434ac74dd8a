"""From an entry forward to the cells: the same flows that fill a cell lead back to it.

Lines: TTB F 5110.40 (10-2021) line 11 and part III; 5110.11 lines 2, 17 and 22.
"""

from ledger.models import Entry
from reports.behind import movements, place_on
from reports.landed import landed
from reports.month_book import read_book
from reports.month_end import close_month, forms_of
from tests.reports.months import JANUARY, LATER, leg


def cells(entry):
    return {
        (one.form.number[-7:], one.part.part, one.line.number, one.column): one.value
        for one in landed(entry)
    }


def total(entry, form, line):
    return sum(one.value for one in landed(entry)
               if one.form.slug == form and one.line.of == line)  # fmt: skip


def test_barrels_filled_from_the_still_land_on_three_lines(book):
    entry = Entry.objects.get(movements__cooperage="new")
    assert total(entry, "production", "11") == 15000
    assert total(entry, "storage", "2") == 15000


def test_a_dump_lands_as_what_was_dumped_and_what_was_lost(book):
    entry = Entry.objects.get(movements__purpose="dump")
    assert (total(entry, "storage", "17"), total(entry, "storage", "22")) == (8800, 640)
    assert total(entry, "processing", "2") == 8800


def test_an_amendment_lands_in_the_month_it_amends(book):
    close_month(book.premises, JANUARY, by="ada", now=LATER)
    entry = book.post("2026-01-29 14:00", leg("storage S-1 S-1", "loss S-1", "leak", 0, 10),
                      late="amend", reason="found the slip")  # fmt: skip
    (one, *_) = landed(entry)
    assert (one.form.month, one.value) == (JANUARY, 10)


def test_every_figure_is_reached_from_the_entries_behind_it(book):
    """Back and forward are one relation: what is behind a cell lands in it."""
    month_book = read_book(book.premises, JANUARY)
    for form in forms_of(month_book).values():
        for part in form.parts:
            for row, line in enumerate(part.lines):
                for column, cell in line.cells.items():
                    if not cell.behind or line.is_total or column in ("m", "l"):
                        continue
                    place = place_on(form, part=part.part, row=str(row), column=column)
                    if place.line.opening or place.line.closing or place.line.counted:
                        continue
                    for one in movements(place, month_book):
                        found = cells(one.movement.entry)
                        assert (form.number[-7:], part.part, line.number, column) in found


def test_the_page_leads_from_the_entry_to_its_figures(world, book, client):
    client.force_login(world.owner)
    entry = Entry.objects.get(movements__purpose="dump")
    page = client.get(f"/filings/entries/{entry.number}/").content.decode()
    assert "/filings/2026-03/storage/domestic/behind/" in page
    assert "88.00" in page
    address = f"/filings/entries/{entry.number}/"
    assert address in client.get(f"/book/{entry.number}/").content.decode()
