"""The pages of the filings: who sees them, what they show, and in how many queries."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.models import Period
from reports.behind import movements, place_on, summands
from reports.filling import fill_from
from reports.forms import FORMS
from reports.month_book import read_book
from reports.month_end import close_month
from tests.reports.months import APRIL, FEBRUARY, JANUARY, LATER, MARCH, leg
from tests.world import make_person, make_plant

PAGES = [
    ("filings", []),
    ("month", ["2026-03"]),
    ("form", ["2026-03", "production"]),
    ("form", ["2026-03", "storage"]),
    ("form", ["2026-03", "storage", "domestic"]),
    ("form", ["2026-03", "processing"]),
    ("form", ["2026-03", "tax"]),
    ("cell", ["2026-03", "processing"]),
    ("export", ["2026-03", "tax", "csv"]),
    ("export", ["2026-03", "storage", "domestic", "json"]),
    ("export-all", ["2026-03", "pdf"]),
]


def address(name, args):
    where = reverse(f"reports:{name}", args=args)
    return f"{where}?part=II&row=6&column=b" if name == "cell" else where


def page(client, user, name, *args):
    client.force_login(user)
    return client.get(address(name, list(args)))


@pytest.mark.parametrize(("name", "args"), PAGES)
@pytest.mark.parametrize("who", ["owner", "operator", "reader"])
def test_everyone_of_the_plant_sees_and_exports(client, world, book, who, name, args):
    assert page(client, getattr(world, who), name, *args).status_code == 200


@pytest.mark.parametrize(("name", "args"), PAGES)
def test_a_stranger_sees_nothing_and_a_guest_logs_in(client, world, book, name, args):
    assert client.get(address(name, args)).headers["Location"].startswith("/log-in/")
    assert page(client, make_person(None, "dee", ""), name, *args).status_code == 404


@pytest.mark.parametrize(("name", "args"), PAGES)
def test_pages_are_only_read(client, world, book, name, args):
    client.force_login(world.owner)
    assert client.post(address(name, args)).status_code == 405


@pytest.mark.parametrize(("name", "args"), PAGES)
def test_a_page_takes_at_most_fifteen_queries(client, world, book, name, args):
    """Three of them are the plant's editions, checked lines and rules; none grows with the book."""
    close_month(world.premises, JANUARY, by="ada", now=LATER)
    client.force_login(world.owner)
    with CaptureQueriesContext(connection) as seen:
        client.get(address(name, args))
    # The whole month, the returns that touch it, and what left for each State.
    most = 22 if name == "export-all" else 15
    assert len(seen) <= most, "\n".join(query["sql"][:200] for query in seen)


def test_another_plants_months_are_not_seen(client, world, book):
    other = make_plant("DSP-XX-11111", "Other (invented)")
    text = page(client, make_person(other, "eve", "owner"), "month", "2026-03").content.decode()
    assert "No spirits were held or moved." in text
    assert "501" not in text


@pytest.mark.parametrize(
    "path",
    [
        "/filings/2026-13/", "/filings/2999-01/", "/filings/2015-01/", "/filings/2026-03/wine/",
        "/filings/2026-03/storage/imported/", "/filings/2026-03/tax/export/xml/",
        "/filings/2026-03/processing/behind/?part=II&row=99&column=b",
        "/filings/2026-03/processing/behind/?part=IX&row=0&column=b",
        "/filings/2026-03/processing/behind/?part=I&row=x&column=b",
        "/filings/2026-03/processing/behind/", "/filings/2026-03/tax/behind/",
        "/filings/2026-03/storage/export/pdf/extra/",
    ],
)  # fmt: skip
def test_what_does_not_exist_is_not_found(client, world, book, path):
    client.force_login(world.owner)
    assert client.get(path).status_code == 404


def test_the_months_are_listed_with_their_due_day(client, world, book):
    """Due on the 15th of the next month (27 CFR 19.632(b))."""
    close_month(world.premises, JANUARY, by="ada", now=LATER)
    text = page(client, world.owner, "filings").content.decode()
    assert "January 2026" in text
    assert "15 Feb 2026" in text
    assert "by ada" in text


def test_a_figure_opens_the_movements_behind_it(client, world, book):
    text = page(client, world.owner, "form", "2026-03", "processing").content.decode()
    assert 'behind/?part=II&amp;row=6&amp;column=b">66.34</a>' in text
    behind = page(client, world.owner, "cell", "2026-03", "processing").content.decode()
    assert "Line 33 (b): 66.34" in behind
    assert (behind.count(">№ "), "64.20" in behind, "2.14" in behind) == (2, True, True)


def test_every_figure_has_something_behind_it(client, world, book):
    """Movements add up to the figure, lines to a total, and the month's change to a balance."""
    for month in (JANUARY, FEBRUARY, MARCH):
        book_of = read_book(world.premises, month)
        for form in FORMS.values():
            filled = fill_from(book_of, form)
            for part in filled.parts:
                for row, line in enumerate(part.lines):
                    for key, cell in line.cells.items():
                        place = place_on(filled, part=part.part, row=str(row), column=key)
                        found = sum(one.value for one in movements(place, book_of))
                        if place.line.sums:
                            parts = [one.cells[key].value for _, one in summands(place)]
                            assert sum(parts) == cell.value
                        elif place.line.flows or place.line.where or place.line.write_in:
                            assert found == cell.value, (form.slug, part.part, line.number, key)
                        elif place.line.closing:
                            opening = part.lines[0].cells[key].value
                            assert found == cell.value - opening


def test_the_owner_closes_the_oldest_month(client, world, book):
    assert b"Close January" in page(client, world.owner, "month", "2026-01").content
    client.force_login(world.owner)
    answer = client.post(reverse("reports:close", args=["2026-01"]), follow=True)
    assert "January 2026 is closed." in answer.content.decode()
    assert Period.objects.get(premises=world.premises, month=JANUARY).closed_by == "ada"
    assert b"Close January" not in answer.content


def test_closing_is_refused_with_its_reasons(client, world, book):
    client.force_login(world.owner)
    answer = client.post(reverse("reports:close", args=["2026-02"]), follow=True)
    assert "Close January 2026 first." in answer.content.decode()
    book.post("2026-01-30 09:00", leg("storage S-1 S-1", "loss S-1", "leak", 0, -10))
    answer = client.post(reverse("reports:close", args=["2026-01"]), follow=True)
    text = answer.content.decode()
    assert "no figure below zero: -0.10 against 0.00 PG" in text
    assert "The month cannot be closed with this." in text
    assert "Close January</button>" not in text


def test_only_the_oldest_open_month_offers_closing(client, world, book):
    assert b"Close February</button>" not in page(client, world.owner, "month", "2026-02").content


@pytest.mark.parametrize("who", ["operator", "reader"])
def test_only_the_owner_closes(client, world, book, who):
    client.force_login(getattr(world, who))
    assert client.post(reverse("reports:close", args=["2026-01"])).status_code == 403
    assert b"Close January" not in client.get(reverse("reports:month", args=["2026-01"])).content
    assert client.get(reverse("reports:close", args=["2026-01"])).status_code == 405


def test_closing_needs_the_token(world, book):
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(world.owner)
    assert strict.post(reverse("reports:close", args=["2026-01"])).status_code == 403


def test_an_export_is_a_named_file(client, world, book):
    answer = page(client, world.reader, "export", "2026-03", "storage", "domestic", "json")
    assert answer.headers["Content-Type"] == "application/json"
    name = "DSP-XX-00000-2026-03-storage-domestic.json"
    assert answer.headers["Content-Disposition"] == f'attachment; filename="{name}"'


def test_a_month_without_records_can_be_seen(client, world, book):
    assert page(client, world.owner, "month", f"{APRIL:%Y-%m}").status_code == 200


def test_each_tie_out_opens_the_lines_it_compares(client, world, book):
    client.force_login(world.owner)
    text = page(client, world.owner, "month", "2026-03").content.decode()
    assert 'href="/filings/2026-03/processing/#line-I-8"' in text
    form = page(client, world.owner, "form", "2026-03", "processing").content.decode()
    assert form.count('id="line-I-8"') == 1
