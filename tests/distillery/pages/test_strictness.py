"""What every page keeps: the content policy, another plant's secrets, few queries."""

import json
import re
from pathlib import Path

import pytest

from tests.distillery.pages.addresses import addresses
from tests.distillery.pages.conftest import receive
from tests.world import World, make_barrels, make_person, make_plant

pytestmark = pytest.mark.django_db

BASELINE = Path(__file__).with_name("queries.json")
MOST = 12
PAGES = [
    "/", "/record/", "/record/receive-material/", "/vessels/BIN-1/", "/vessels/B-1/",
    "/lots/G-1/", "/bottlings/", "/book/", "/book/?account=materials&operation=receive-material",
    "/book/1/", "/notices/", "/bench/",
    "/bench/blend/?lots-0-volume=100&lots-0-proof=130&lots-1-volume=9&lots-1-proof=0",
]  # fmt: skip
UNFIT = re.compile(
    r"<style\b|\sstyle=|<script\b(?![^>]*\ssrc=)|\son[a-z]+=|javascript:"
    r"|(?:src|href|action)=[\"']?(?:https?:)?//",
    re.IGNORECASE,
)


def counted(client, path, django_assert_max_num_queries) -> int:
    with django_assert_max_num_queries(MOST) as queries:
        assert client.get(path).status_code == 200
    return len(queries)


@pytest.mark.parametrize("path", [*PAGES, "/log-in/", "/nothing/here/"])
def test_a_page_allows_and_holds_nothing_from_outside(world, client_of, path):
    response = client_of(world.owner).get(path)
    policy = response["Content-Security-Policy"]
    assert "script-src 'self'" in policy
    assert "style-src 'self'" in policy
    assert "unsafe" not in policy
    assert UNFIT.findall(response.content.decode()) == []


def test_every_address_carries_the_policy(world, client_of):
    for one in addresses():
        assert "Content-Security-Policy" in client_of(world.owner).get(one.path), one.path


@pytest.fixture
def other(world) -> World:
    """Another plant in the same database, with its own corn."""
    premises = make_plant("DSP-XX-00009", "Other Spit (invented)")
    person = make_person(premises, "eve", "owner")
    other = World(premises, person, person, person, count=500)
    make_barrels(premises, "SECRET-1")
    receive(other, lot="SECRET-G", supplier="Their farm")
    receive(other, lot="SECRET-H", supplier="Their farm")
    return other


@pytest.mark.parametrize(
    "path", ["/vessels/SECRET-1/", "/lots/SECRET-G/", "/book/2/", "/vessels/NO-SUCH/"]
)
def test_another_plants_things_do_not_exist(world, other, client_of, path):
    assert client_of(world.owner).get(path).status_code == 404


@pytest.mark.parametrize("path", [*PAGES, "/record/mash/", "/book/?lot=SECRET-G"])
def test_another_plants_things_are_on_no_page(world, other, client_of, path):
    told = client_of(world.owner).get(path).content.decode()
    # What was asked for stands in the filter's own box and in the links to sort by.
    told = told.replace('value="SECRET-G"', "").replace("lot=SECRET-G", "")
    assert not re.search(r"SECRET|Their farm|Other Spit", told)


def test_another_plants_vessel_cannot_be_named_in_a_record(world, other, client_of):
    form = {
        "step": "confirm", "key": "k-99", "at": "2026-01-06T10:00", "material": "CORN",
        "quantity": "1 lb", "supplier": "A farm", "vessel": "SECRET-1",
    }  # fmt: skip
    told = client_of(world.owner).post("/record/receive-material/", form).content.decode()
    assert "There is no vessel “SECRET-1” here." in told


def test_the_queries_of_each_page_are_as_written_down(
    world, client_of, django_assert_max_num_queries
):
    """A page that asks more shows up as a difference of queries.json; change it knowingly."""
    client = client_of(world.owner)
    measured = {path: counted(client, path, django_assert_max_num_queries) for path in PAGES}
    assert measured == json.loads(BASELINE.read_text())


def test_more_stock_asks_no_more(world, client_of, django_assert_max_num_queries):
    client = client_of(world.owner)
    before = [counted(client, path, django_assert_max_num_queries) for path in PAGES]
    make_barrels(world.premises, *(f"B-{n}" for n in range(10, 40)))
    for _ in range(6):
        receive(world, at="2026-01-07 09:00")
    after = [counted(client, path, django_assert_max_num_queries) for path in PAGES]
    assert after == before
