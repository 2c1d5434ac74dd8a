"""A form kept while a tablet was locked: of that tablet alone, for a day, as it was filled in."""

from datetime import timedelta

import pytest
from django.core import signing
from django.test import RequestFactory

from distillery.devices import COOKIE, register
from distillery.kept_posts import LASTS, SALT, Lost, keep, put_back
from tests.world import World, make_world

pytestmark = pytest.mark.django_db
FILLED = {"key": "k-1", "quantity": "150 lb", "csrfmiddlewaretoken": "t"}


@pytest.fixture
def world() -> World:
    return make_world()


def request_on(cookie: str):
    factory = RequestFactory()
    factory.cookies[COOKIE] = cookie
    return factory.post("/record/receive-material/?vessel=BIN-1", FILLED)


@pytest.fixture
def cookies(world):
    """Of two tablets of the plant."""
    return [register(world.premises, name, by="ada")[1] for name in ("Still house", "Store")]


def test_it_comes_back_as_it_was_filled_in(cookies):
    kept = keep(request_on(cookies[0]))
    again = request_on(cookies[0])
    put_back(again, kept)
    assert again.path == "/record/receive-material/"
    assert again.GET["vessel"] == "BIN-1"
    assert again.POST.dict() == {"key": "k-1", "quantity": "150 lb"}


@pytest.mark.parametrize("other", [1, None], ids=["another tablet", "no tablet"])
def test_another_tablet_gets_nothing_of_it(cookies, other):
    kept = keep(request_on(cookies[0]))
    with pytest.raises(Lost):
        put_back(request_on(cookies[other] if other else ""), kept)


def test_it_is_gone_after_a_day(cookies, monkeypatch):
    began = signing.time.time()
    kept = keep(request_on(cookies[0]))
    for after, is_gone in ((LASTS - timedelta(minutes=1), False), (LASTS * 1.01, True)):
        monkeypatch.setattr(signing.time, "time", lambda after=after: began + after.total_seconds())
        if is_gone:
            with pytest.raises(Lost):
                put_back(request_on(cookies[0]), kept)
        else:
            put_back(request_on(cookies[0]), kept)


@pytest.mark.parametrize("damaged", ["", "made:up", "x" * 500])
def test_what_was_damaged_is_refused(cookies, damaged):
    with pytest.raises(Lost):
        put_back(request_on(cookies[0]), damaged)


def test_text_of_another_shape_is_refused(cookies):
    with pytest.raises(Lost):
        put_back(request_on(cookies[0]), signing.dumps(["/record/"], salt=SALT))
