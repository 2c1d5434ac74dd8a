"""The emergency page: there for everybody, short, and no verdict."""

import re

import pytest
from django.utils import timezone

from distillery.devices import COOKIE, register
from distillery.emergency import CASES, WHO_DECIDES
from distillery.models import EmergencyFact, RoomLimit
from tests.distillery.test_safety import VERDICT
from tests.world import make_plant

pytestmark = pytest.mark.django_db

ELSEWHERE = {"REMOTE_ADDR": "203.0.113.9"}  # a documentation address, RFC 5737
HERE = {"REMOTE_ADDR": "192.168.4.20"}  # a private address, RFC 1918


@pytest.fixture
def told(world):
    """The plant's own number, place and limit."""
    plant = world.premises
    EmergencyFact.objects.create(premises=plant, what="Poison control", told="1-800-555-0100")
    EmergencyFact.objects.create(premises=plant, what="Gas valve", told="north wall, red handle")
    RoomLimit.objects.create(
        premises=plant, room="Still house", what="spirits in tanks", limit="240 gal",
        given_by="the fire marshal's letter (invented)", given_on=timezone.now().date(),
    )  # fmt: skip


def test_it_opens_without_a_log_in_on_the_plants_own_network(world, told, client):
    page = client.get("/emergency/", **HERE).content.decode()
    assert 'href="tel:911"' in page
    assert 'href="tel:18005550100"' in page
    assert "north wall, red handle" in page
    assert "240 gal" in page


def test_from_elsewhere_it_has_the_general_lines_alone(world, told, client):
    page = client.get("/emergency/", **ELSEWHERE).content.decode()
    assert 'href="tel:911"' in page
    for own in ("555-0100", "north wall", "240 gal", "Marram"):
        assert own not in page


def test_the_plants_people_and_tablets_see_its_own_lines_from_anywhere(
    world, told, client, client_of
):
    assert "north wall" in client_of(world.reader).get("/emergency/", **ELSEWHERE).content.decode()
    _, client.cookies[COOKIE] = register(world.premises, "Still house", by="ada")
    assert "north wall" in client.get("/emergency/", **ELSEWHERE).content.decode()


def test_of_two_plants_it_guesses_none(world, told, client):
    make_plant("DSP-XX-00009", "Other Spit (invented)")
    assert "north wall" not in client.get("/emergency/", **HERE).content.decode()


def test_a_client_behind_the_proxy_is_told_by_the_proxy(world, told, client, settings):
    settings.BEHIND_TLS = True
    forwarded = {"HTTP_X_FORWARDED_FOR": "192.168.4.20, 203.0.113.9", **HERE}
    assert "north wall" not in client.get("/emergency/", **forwarded).content.decode()


def test_it_can_be_kept_by_a_tablet(world, client_of):
    """Nothing of a person and no token is on it, and only static files are asked for."""
    page = client_of(world.owner).get("/emergency/").content.decode()
    assert "csrfmiddlewaretoken" not in page
    assert "ada" not in page
    assert "<script" not in page
    for link in re.findall(r'<link rel="\w+" href="([^"]+)"', page):
        assert link.startswith("/static/")


def test_the_cases_are_those_of_a_distillery_and_short():
    codes = {one.code for one in CASES}
    assert codes >= {"fire", "spill", "co2", "burn", "confined"}
    for one in CASES:
        assert 1 <= len(one.lines) <= 4
        assert max(map(len, one.lines)) <= 90
        assert one.source
        assert not VERDICT.search(" ".join((one.title, *one.lines)).lower())


def test_it_defers_to_those_who_decide():
    for word in ("fire department", "emergency plan", "local codes"):
        assert word in WHO_DECIDES


def test_an_owner_enters_limits_and_numbers_and_nobody_else(world, client_of):
    world.owner.is_staff = True
    world.owner.save()
    form = {
        "premises": world.premises.pk, "room": "Rickhouse", "what": "barrels", "limit": "as posted",
        "given_by": "fire marshal (invented)", "given_on": "2026-01-01",
    }  # fmt: skip
    for path in (
        "/plant/admin/distillery/roomlimit/add/",
        "/plant/admin/distillery/emergencyfact/add/",
    ):
        assert client_of(world.owner).get(path).status_code == 200
        assert client_of(world.operator).get(path).status_code == 302
    client_of(world.owner).post("/plant/admin/distillery/roomlimit/add/", form)
    assert RoomLimit.objects.get().room == "Rickhouse"
