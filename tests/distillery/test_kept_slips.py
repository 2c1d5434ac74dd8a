"""Slips are kept with their entry: as previewed, once, and not for an act that was refused."""

import pytest

from distillery.models import KeptSlip
from distillery.recording import Asked, prepare, preview
from tests.distillery.stock import put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = "2026-01-30 14:00"


@pytest.fixture
def world(db):
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2", rated=10)
    facts = {"class_code": "whisky", "type_code": "bourbon", "name": "Bourbon whisky designate"}
    put(world, "storage", "S-1", "S", wine="127.12", proof="150", **facts)
    return world


def filling(volume="127.12 gal", **more):
    before = {"volume": volume, "temperature": "60 F", "proof": "118"}
    barrels = [{"barrel": "B-1"}, {"barrel": "B-2"}]
    return {"vessel": "S-1", "before": before, "barrels": barrels, "each": "10 gal", **more}


def test_they_are_kept_as_the_preview_showed_them(world):
    data = {"operation": "fill-barrels", "at": DAY, "key": "k-look", **filling()}
    shown = preview(prepare(data, premises=world.premises, user=world.owner))
    done = world.record("fill-barrels", DAY, **filling())
    assert tuple(KeptSlip.of_entry(done.entry)) == shown.slips
    assert [slip.title for slip in shown.slips] == ["Tank before", "Barrels"]


def test_the_same_key_keeps_them_once(world):
    for _ in range(2):
        done = world.record("fill-barrels", DAY, key="once", **filling())
    assert not done.is_new
    assert KeptSlip.objects.count() == 2


def test_an_act_that_is_asked_about_keeps_none(world):
    with pytest.raises(Asked):
        world.record("fill-barrels", DAY, **filling(volume="5 gal"))
    assert KeptSlip.objects.count() == 0


def test_an_act_without_a_gauge_keeps_none(world):
    world.record(
        "receive-material", DAY, material="CORN", quantity="100 lb", vessel="BIN-1",
        supplier="A farm (invented)",
    )  # fmt: skip
    assert KeptSlip.objects.count() == 0
