"""What a form must say and can say in one way only stands there already; a gauge never does."""

import re

import pytest

from distillery.models import Instrument
from tests.distillery.operations.bottling_line import opened
from tests.distillery.pages.conftest import running
from tests.world import make_vessel

pytestmark = pytest.mark.django_db


CHOSEN = re.compile(r'<option value="([^"]*)" selected')


def chosen_in(page, name):
    """The value that stands in the list *name* of a page."""
    box = page.content.decode().split(f'<select id="id_{name}"')[1].split("</select>")[0]
    found = CHOSEN.search(box)
    return found[1] if found else ""


def chosen(client, slug, name):
    """The same of the form as it is begun."""
    return chosen_in(client.get(f"/record/{slug}/"), name)


def test_the_only_store_is_chosen_and_of_two_none(world, client_of):
    client = client_of(world.operator)
    assert chosen(client, "bottle", "store") == "STORE"
    make_vessel(world.premises, "SHOP", "store")
    assert chosen(client, "bottle", "store") == ""


def test_the_only_bottling_that_is_open_is_the_one_that_is_bottled(world, client_of):
    client = client_of(world.operator)
    assert chosen(client, "bottle-check", "vessel") == ""
    opened(world)
    for slug in ("bottle", "bottle-check", "close-bottling", "tip-back"):
        assert chosen(client, slug, "vessel") == "BT-1", slug


def test_the_only_still_that_runs_is_the_one_that_is_read(world, client_of):
    client = client_of(world.operator)
    assert chosen(client, "still-reading", "still") == ""
    running(world)
    assert chosen(client, "still-reading", "still") == "POT"
    assert chosen(client, "run-on", "still") == ""  # it was never stopped
    world.record("stop-still", "2026-03-02 11:00", still="POT", why="to load the basket")
    assert chosen(client, "run-on", "still") == "POT"


def test_an_optional_list_a_row_and_a_gauge_stay_empty(world, client_of):
    client = client_of(world.operator)
    assert chosen(client, "tip-back", "store") == ""  # the plant has one store
    assert chosen(client, "mash", "tuns-0-tun") == ""  # and one tun
    Instrument.objects.create(
        premises=world.premises, code="H-1", kind="hydrometer", low=80, high=120
    )
    assert chosen(client, "production-gauge", "gauge-hydrometer") == ""


def test_a_list_sent_empty_is_asked_for_and_not_filled_in(world, client_of):
    sent = client_of(world.operator).post("/record/bottle/", {"step": "preview", "key": "k"})
    assert chosen_in(sent, "store") == ""
    assert 'href="#id_store">Case store: ' in sent.content.decode()
