"""Who may open what: every address of the project against every kind of person."""

import pytest

from distillery.models import Membership
from distillery.operations import operations
from ledger.models import Entry
from tests.distillery.pages.addresses import (
    COUNTS,
    FILED,
    FORMS,
    LEADS_ON,
    OPEN,
    OWNERS,
    PAPERS,
    RUNS,
    addresses,
    admin_paths,
)
from tests.distillery.pages.conftest import bottled, filed, gauged, running, walked

pytestmark = pytest.mark.django_db

GUARDED = [one for one in addresses() if one.name not in OPEN]
POST_ONLY = {
    "count-drop", "record-live", "tablet-send", "reports:late", "reports:close",
    "reports:calendar-address",
}  # fmt: skip
POST_ONLY |= {"run-note", "undo-reading"}  # a card of the run page, a minute of undoing
THEIR_OWN = {"reports:calendar-address"}  # a reader too may take the calendar home
RECORDING = {
    "record", "record-operation", "record-live", "readings", "kept", "fill-row",
    "entry-chain",
    "count-place", "count-barrels",
}  # fmt: skip
by_path = pytest.mark.parametrize("address", GUARDED, ids=lambda one: one.path)


@pytest.fixture(autouse=True)
def papers(world, request):
    """The entry that the papers are of, where the address under test is one of them."""
    params = getattr(request.node, "callspec", None)
    name = getattr(params.params.get("address"), "name", "") if params else ""
    if name in PAPERS:
        gauged(world)
    if name in RUNS:
        running(world)
    if name == "bottling":
        bottled(world)
    if name in FILED:
        filed(world)
    if name in COUNTS:
        walked(world)


def stranger(world):
    return type(world.owner).objects.get(username="dee")


def answer(client, address):
    """GET, or POST where only that is taken."""
    return client.post(address.path) if address.name in POST_ONLY else client.get(address.path)


def opened(address):
    """What a page answers to those who may see it."""
    return 302 if address.name in LEADS_ON else 200


def test_the_walk_finds_the_pages():
    names = {one.name for one in addresses()}
    assert {"floor", "record", "record-operation", "vessel", "lot", "book", "entry"} <= names


@by_path
def test_nobody_is_sent_to_log_in(world, client, address):
    for response in (client.get(address.path), client.post(address.path)):
        assert response.status_code == 302
        assert response["Location"].startswith("/log-in/?next=")


@pytest.mark.parametrize("path", admin_paths())
def test_the_set_up_is_for_staff(world, client_of, path):
    for user in (None, world.reader, stranger(world)):
        assert client_of(user).get(path).status_code in (302, 403, 404) or "login" in path


@by_path
def test_a_stranger_sees_nothing_and_is_told_what_to_do(world, client_of, address):
    response = answer(client_of(stranger(world)), address)
    assert response.status_code == 404
    assert "not on this plant" in response.content.decode()


@by_path
def test_a_reader_sees_and_records_nothing(world, client_of, address):
    response = answer(client_of(world.reader), address)
    forbidden = address.name in (RECORDING | POST_ONLY | OWNERS) - THEIR_OWN
    assert response.status_code == (403 if forbidden else opened(address))
    if address.name in RECORDING:
        posted = client_of(world.reader).post(address.path, {"step": "confirm"})
        assert posted.status_code in (403, 405)


@pytest.mark.parametrize(
    "address", [one for one in GUARDED if one.name not in POST_ONLY], ids=lambda one: one.path
)
@pytest.mark.parametrize("role", ["operator", "owner"])
def test_who_works_there_opens_it(world, client_of, address, role):
    allowed = role == "owner" or address.name not in OWNERS
    got = client_of(getattr(world, role)).get(address.path).status_code
    assert got == (opened(address) if allowed else 403)


@by_path
def test_it_refuses_the_wrong_method(world, client_of, address):
    client = client_of(world.owner)
    wrong = [client.put, client.delete, client.patch]
    if address.name in POST_ONLY:
        wrong.append(client.get)
    elif address.name not in FORMS:
        wrong.append(client.post)
    assert {send(address.path).status_code for send in wrong} == {405}


def test_only_the_owner_opens_what_is_the_owners(world, client_of):
    for one in operations().values():
        got = {
            role: client_of(getattr(world, role)).get(f"/record/{one.slug}/").status_code
            for role in ("owner", "operator", "reader")
        }
        expected = 403 if one.owner_only else 200
        assert got == {"owner": 200, "operator": expected, "reader": 403}, one.slug


def test_readers_get_no_link_to_record(world, client_of):
    for path in ("/", "/vessels/BIN-1/", "/book/1/"):
        assert "/record/" not in client_of(world.reader).get(path).content.decode()
        assert "/record/" in client_of(world.operator).get(path).content.decode()


def test_an_operator_takes_back_only_what_is_their_own(world, client_of):
    take_back = "/record/reverse/?entry=1"
    assert take_back not in client_of(world.operator).get("/book/1/").content.decode()
    assert take_back in client_of(world.owner).get("/book/1/").content.decode()


def test_a_role_taken_away_is_gone_at_once(world, client_of):
    client = client_of(world.operator)
    assert client.get("/record/").status_code == 200
    Membership.objects.filter(user=world.operator).delete()
    assert client.get("/record/").status_code == 404


def test_a_post_without_its_token_is_refused(world, client_of):
    client = client_of(world.owner, enforce_csrf_checks=True)
    response = client.post("/record/receive-material/", {"step": "confirm", "key": "x"})
    assert response.status_code == 403
    assert "Nothing was recorded" in response.content.decode()
    assert Entry.objects.count() == 1
    assert client.post("/log-out/").status_code == 403
