"""A form kept while a tablet was locked: of that tablet alone, named for a day, never lost."""

from datetime import timedelta

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core import signing
from django.test import RequestFactory
from django.utils import timezone

from distillery import kept_posts
from distillery.devices import COOKIE, register
from distillery.kept_posts import LASTS, SALT, WAS, Lost, keep, named, put_back, waiting_for
from distillery.models import Device, KeptForm
from tests.world import World, make_world

pytestmark = pytest.mark.django_db
FILLED = {"key": "k-1", "quantity": "150 lb", "csrfmiddlewaretoken": "t"}


@pytest.fixture
def world() -> World:
    return make_world()


@pytest.fixture
def request_on(world):
    """A form sent on a tablet on which nobody is any more; bo was."""

    def make(cookie: str, filled=FILLED, was=None):
        factory = RequestFactory()
        factory.cookies[COOKIE] = cookie
        request = factory.post("/record/receive-material/?vessel=BIN-1", filled)
        request.user = AnonymousUser()
        request.session = {WAS: world.operator.pk if was is None else was}
        return request

    return make


@pytest.fixture
def cookies(world):
    """Of two tablets of the plant."""
    return [register(world.premises, name, by="ada")[1] for name in ("Still house", "Store")]


def test_it_comes_back_as_it_was_filled_in(world, cookies, request_on):
    kept = keep(request_on(cookies[0]))
    again = request_on(cookies[0])
    form = named(again, kept)
    assert form.filled_by == world.operator
    put_back(again, form)
    assert again.path == "/record/receive-material/"
    assert again.GET["vessel"] == "BIN-1"
    assert again.POST.dict() == {"key": "k-1", "quantity": "150 lb"}


def test_a_second_tap_keeps_nothing_new(cookies, request_on):
    assert named(request_on(cookies[0]), keep(request_on(cookies[0]))) == KeptForm.objects.get()
    keep(request_on(cookies[0]))
    assert KeptForm.objects.count() == 1


@pytest.mark.parametrize("other", [1, None], ids=["another tablet", "no tablet"])
def test_another_tablet_gets_nothing_of_it(cookies, request_on, other):
    kept = keep(request_on(cookies[0]))
    with pytest.raises(Lost):
        named(request_on(cookies[other] if other else ""), kept)


def test_its_name_goes_out_of_use_after_a_day_and_the_form_does_not(
    world, cookies, request_on, monkeypatch
):
    began = signing.time.time()
    kept = keep(request_on(cookies[0]))
    for after, is_gone in ((LASTS - timedelta(minutes=1), False), (LASTS * 1.01, True)):
        monkeypatch.setattr(signing.time, "time", lambda after=after: began + after.total_seconds())
        if is_gone:
            with pytest.raises(Lost, match="is shown on this tablet when"):
                named(request_on(cookies[0]), kept)
        else:
            named(request_on(cookies[0]), kept)
    device = Device.objects.get(name="Still house")
    assert waiting_for(world.operator, device) is not None


@pytest.mark.parametrize("damaged", ["", "made:up", "x" * 500])
def test_what_was_damaged_is_refused(cookies, request_on, damaged):
    with pytest.raises(Lost):
        named(request_on(cookies[0]), damaged)


def test_a_name_of_another_shape_is_refused(cookies, request_on):
    for text in (["/record/"], "x", None, 10**30):
        with pytest.raises(Lost):
            named(request_on(cookies[0]), signing.dumps(text, salt=SALT))


def test_only_its_person_is_shown_it_and_of_nobody_whoever_unlocks(world, cookies, request_on):
    device = Device.objects.get(name="Still house")
    keep(request_on(cookies[0]))
    assert waiting_for(world.operator, device)
    assert waiting_for(world.owner, device) is None
    assert waiting_for(world.operator, Device.objects.get(name="Store")) is None
    keep(request_on(cookies[0], was=10**6))  # a person who is no more
    assert waiting_for(world.owner, device).filled_by is None


def test_what_the_tablet_sent_by_itself_waits_no_more(world, cookies, request_on):
    device = Device.objects.get(name="Still house")
    keep(request_on(cookies[0]))
    world.record(
        "receive-material", "2026-01-05 10:00", key="k-1", material="CORN", quantity="150 lb",
        vessel="BIN-1", supplier="A farm", by=world.operator,
    )  # fmt: skip
    assert waiting_for(world.operator, device) is None


def test_what_was_answered_goes_a_day_later_and_what_was_not_stays(cookies, request_on):
    keep(request_on(cookies[0]))
    keep(request_on(cookies[0], {"kind": "other"}))
    old = timezone.now() - LASTS * 1.01
    KeptForm.objects.filter(body__contains="k-1").update(answered_at=old)
    KeptForm.objects.update(kept_at=old)
    keep(request_on(cookies[0], {"kind": "quarter"}))
    assert [one.body for one in KeptForm.objects.order_by("pk")] == ["kind=other", "kind=quarter"]


@pytest.mark.parametrize(
    ("filled", "keyed"),
    [
        ({"key": "k-1"}, True),
        ({"FV-1-key": "k-1"}, True),
        ({"kind": "other", "monkey": "x"}, False),
    ],
)
def test_a_key_of_its_own_makes_sending_twice_harmless(cookies, request_on, filled, keyed):
    form = named(request_on(cookies[0]), keep(request_on(cookies[0], filled)))
    assert kept_posts.is_keyed(form) is keyed
