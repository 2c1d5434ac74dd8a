"""The pages of the record set: the list, one record, its files, the archive, the auditor's page."""

from html.parser import HTMLParser

import pytest
from django.test import Client
from django.urls import reverse

from distillery.records import kinds
from distillery.records.audit import HEADINGS
from tests.world import make_person, make_plant

pytestmark = pytest.mark.django_db
DAYS = "first=2026-01-01&last=2026-03-31"


@pytest.fixture
def reader(lived):
    world = lived(3)
    client = Client()
    client.force_login(world.reader)
    return client


def page(client, address):
    answer = client.get(address)
    assert answer.status_code == 200, address
    return answer.content.decode()


def test_the_list_links_each_record_and_its_files(reader):
    told = page(reader, f"/records/?{DAYS}")
    for slug, kind in kinds().items():
        assert f'href="/records/{slug}/?first=2026-01-01&amp;last=2026-03-31"' in told
        assert kind.title.replace("'", "&#x27;") in told
    assert told.count(">PDF</a>") == len(kinds())
    assert "/records/bundle.zip?first=2026-01-01" in told


def test_every_record_has_a_page_and_files(reader):
    for slug in kinds():
        assert "<h1>" in page(reader, f"/records/{slug}/?{DAYS}")
        for format in ("pdf", "csv", "json"):
            answer = reader.get(f"/records/{slug}/{format}/?{DAYS}")
            assert answer.status_code == 200
            assert f"{slug}-20260101-20260331.{format}" in answer["Content-Disposition"]


def test_a_row_leads_to_its_entry(reader):
    told = page(reader, f"/records/storage-operations/?{DAYS}")
    assert 'href="/book/' in told
    assert "19.590" in told
    assert "By close of the next business day" in told


def test_a_signed_record_shows_its_statement(reader):
    assert "under the penalties of perjury" in page(reader, f"/records/inventories/?{DAYS}")


def test_days_in_the_wrong_order_are_told(reader):
    told = page(reader, "/records/?first=2026-03-31&last=2026-01-01")
    assert "The last day comes before the first" in told


def test_without_days_it_is_this_month(reader):
    assert "Nothing of this kind in these days." in page(reader, "/records/samples/")


def test_long_records_are_parted_in_pages(reader):
    told = page(reader, f"/records/daily-record/?{DAYS}")
    assert told.count("<tr>") <= 60 * 8


@pytest.mark.parametrize("address", ["/records/nothing/", "/records/samples/xlsx/"])
def test_what_is_no_record_is_not_found(reader, address):
    assert reader.get(address).status_code == 404


def test_another_plant_sees_nothing_of_it(lived):
    lived(1)
    other = make_plant("DSP-XX-00009", "Other Spit (invented)")
    client = Client()
    client.force_login(make_person(other, "eve", "reader"))
    for slug in kinds():
        told = client.get(f"/records/{slug}/json/?{DAYS}").content.decode()
        assert "Dune Grain" not in told
        assert "S-1" not in told
        assert '"is_total": false' not in told or slug in ("formulas", "finished-products")


class Links(HTMLParser):
    """Every address of the page's content."""

    def __init__(self):
        super().__init__()
        self.found = []

    def handle_starttag(self, tag, attrs):
        if tag == "a":
            self.found.append(dict(attrs).get("href", ""))


def test_everything_an_auditor_asks_for_is_answered_by_a_page_that_opens(reader):
    links = Links()
    links.feed(page(reader, f"/auditor/?{DAYS}"))
    for address in {link for link in links.found if link.startswith("/")}:
        if address not in ("/log-out/",):
            assert reader.get(address).status_code == 200, address


def test_the_auditors_headings_name_records_that_there_are():
    named = {slug for _, asked in HEADINGS for one in asked for slug in one.records}
    assert named <= set(kinds())
    # What has no heading of its own is reached by "All records".
    assert set(kinds()) - named == set()
    for _, asked in HEADINGS:
        for one in asked:
            assert one.records or one.pages or one.beside
            assert all(reverse(place.name) for place in one.pages)


def test_an_entry_leads_to_the_records_that_tell_of_it(reader):
    links = Links()
    links.feed(page(reader, "/book/11/"))
    day = "first=2026-01-30&last=2026-01-30"
    found = {link.split("?")[0] for link in links.found if link.endswith(day)}
    assert {"/records/gauge-records/", "/records/tank-record/", "/records/daily-record/"} <= found
    for address in found:
        assert "№ 11</a>" in page(reader, f"{address}?{day}") or "No. 11" in page(
            reader, f"{address}?{day}"
        )
