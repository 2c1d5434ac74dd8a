"""The bench's pages: a result at an address, and its way into a record."""

import re

import pytest

from distillery.bench import calculations
from ledger.models import Entry

pytestmark = pytest.mark.django_db

WATER = "/bench/water-by-volume/?volume=100+gal&proof=112&to_proof=100"
FILLED_IN = {
    "true-proof": "reading=121.4&temperature=68+F",
    "proof-gallons-by-volume": "volume=100&temperature=72&proof=120",
    "proof-gallons-by-weight": "net=400&reading=92&reading_temperature=75&obscuration=0.5",
    "proof-gallons-by-package": "gross=500&tare=100&proof=125",
    "proof-gallons-by-cases": "cases=10&per_case=6&loose=2&bottle_ml=750&proof=92",
    "water-by-volume": "volume=100+gal&proof=112&to_proof=100",
    "water-by-weight": "net=400&proof=141&to_proof=92",
    "staged-reduction": "volume=100&proof=130&to_proof=92&found_volume=136&found_proof=95.4",
    "blend": "lots-0-volume=100&lots-0-proof=130&lots-1-volume=20&lots-1-proof=0",
    "blend-to-a-proof": "volume=100&proof=110&second_proof=140&to_proof=120",
    "fill-weight": "volume=53&proof=125&temperature=75&tare=100",
    "bottle-weight": "size=750+mL&proof=90&temperature=68&tare=480+g",
    "expected-reading": "proof=120&temperature=75",
    "abv-at-20-c": "at_20c=40",
}


def told(client, path) -> str:
    response = client.get(path)
    assert response.status_code == 200
    return response.content.decode()


def test_the_bench_lists_every_calculation(world, client_of):
    page = told(client_of(world.reader), "/bench/")
    assert set(re.findall(r'href="/bench/([a-z0-9-]+)/"', page)) == set(calculations())
    assert set(FILLED_IN) == set(calculations())


@pytest.mark.parametrize("slug", FILLED_IN)
def test_each_is_worked_at_its_address(world, client_of, slug):
    client = client_of(world.operator)
    empty = told(client, f"/bench/{slug}/")
    assert 'class="slip"' not in empty
    assert "There is a problem" not in empty
    worked = told(client, f"/bench/{slug}/?{FILLED_IN[slug]}")
    assert 'class="slip"' in worked
    assert "There is a problem" not in worked
    carried = re.search(r'href="(/record/[^"]+)"', worked)
    assert bool(carried) == bool(calculations()[slug].operation)
    if carried:
        told(client, carried[1].replace("&amp;", "&"))
    assert Entry.objects.count() == world.count


def test_the_water_is_carried_into_the_record(world, client_of):
    """27 CFR 30.66: 100 gallons of 112 proof to 100 proof take 12.43."""
    client = client_of(world.operator)
    assert 'href="/record/reduce/?water=12.43"' in told(client, WATER)
    assert 'name="water" value="12.43"' in told(client, "/record/reduce/?water=12.43")


def test_a_reader_works_but_is_led_to_no_record(world, client_of):
    page = told(client_of(world.reader), WATER)
    assert "12.43 gal" in page
    assert "/record/" not in page


def test_the_records_lead_to_the_bench(world, client_of):
    assert 'href="/bench/"' in told(client_of(world.operator), "/record/")


def test_what_is_wrong_is_told_beside_its_box_and_kept(world, client_of):
    page = told(client_of(world.owner), "/bench/water-by-volume/?volume=five&proof=90")
    assert 'href="#id_volume"' in page
    assert "five is not a volume; type it as 265 gal." in page
    assert 'value="five"' in page
    assert "Fill this in." in page
    page = told(client_of(world.owner), "/bench/true-proof/?reading=100&temperature=140")
    assert "must be from 0 to 100 F" in page


def test_more_rows_are_given_without_a_judgement(world, client_of):
    page = told(client_of(world.owner), "/bench/blend/?lots-0-volume=100&step=more")
    assert page.count('aria-label="Lots, row') == 9
    assert "There is a problem" not in page


def test_what_does_not_exist_is_told(world, client_of):
    assert client_of(world.owner).get("/bench/no-such/").status_code == 404


@pytest.mark.parametrize("odd", ["", "\0", "9" * 300, "-1", "<b>", "1e9", "٣", "NaN", "1 2"])
@pytest.mark.parametrize("slug", FILLED_IN)
def test_odd_text_never_breaks_a_page(world, client_of, slug, odd):
    names = [pair.partition("=")[0] for pair in FILLED_IN[slug].split("&")]
    response = client_of(world.owner).get(f"/bench/{slug}/", dict.fromkeys(names, odd))
    assert response.status_code == 200
    assert "<b>" not in response.content.decode()
