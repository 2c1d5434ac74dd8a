"""Spirits by room beside the posted limits: the sum of the book, and no verdict."""

import pytest

from distillery.models import RoomLimit, VesselSheet
from tests.distillery.stock import put
from tests.distillery.test_safety import VERDICT

pytestmark = pytest.mark.django_db
GIN = {
    "stage": "bottled", "unit": "bottle", "form": "bottled", "class_code": "gin", "name": "Gin",
    "product": "GIN-750", "bottle_ml": 750, "per_case": 12, "label_proof": 900,
}  # fmt: skip


@pytest.fixture
def rooms(world):
    """Spirits in a tank, a barrel and the store; a limit in one room, and in one without any."""
    for room, codes in (
        ("Still house", ["S-1", "S-2"]),
        ("Rickhouse, tier 2", ["B-1"]),
        ("Rickhouse", ["STORE"]),
    ):
        VesselSheet.objects.filter(vessel__code__in=codes).update(room=room)
    put(world, "storage", "S-1", "N-1", wine="100.25", proof="190.50")
    put(world, "storage", "S-2", "N-2", wine="20", proof="38")
    put(world, "storage", "B-1", "26C02", wine="14.5", proof="17.1", class_code="whisky")
    put(world, "finished", "STORE", "K-1", wine="4.76", proof="4.28", amount=24, **GIN)
    for room, limit in (("still  House", "240 gal"), ("Annex", "30 gal in use")):
        RoomLimit.objects.create(
            premises=world.premises, room=room, what="spirits in tanks", limit=limit,
            given_by="fire marshal's letter (invented)", given_on="2026-01-05",
        )  # fmt: skip
    return world


def test_the_gallons_of_a_room_stand_beside_its_limit(rooms, client_of):
    page = client_of(rooms.reader).get("/rooms/")
    # By hand: 100.25 + 20 in two tanks; 14.50 in a barrel and 4.76 in bottles; corn is no spirits.
    assert [(one.name, *one.gallons) for one in page.context["rooms"]] == [
        ("Annex", 0, 0, 0, 0),
        ("Rickhouse", 0, 1450, 476, 1926),
        ("still House", 12025, 0, 0, 12025),
    ]
    told = " ".join(page.content.decode().split())
    assert 'Spirits in tanks: 240 gal <span class="label">by fire marshal' in told
    assert "5 Jan 2026" in told
    assert "Confirm with the fire authority" in told
    assert not VERDICT.search(told.lower())


def test_nothing_is_said_of_a_room_over_its_limit(rooms, client_of):
    RoomLimit.objects.filter(room="still  House").update(limit="1 gal")
    told = client_of(rooms.owner).get("/rooms/").content.decode().lower()
    assert not {"over", "exceeds", "within"} & set(told.replace(">", " ").split())


def test_a_record_that_brings_spirits_into_a_room_shows_what_is_posted(rooms, client_of):
    form = {
        "key": "k-move", "at": "2026-03-03T10:00", "vessel": "S-1", "to": "S-2", "volume": "10 gal",
        "step": "preview",
    }  # fmt: skip
    told = client_of(rooms.operator).post("/record/transfer/", form)
    assert [one.limit for one in told.context["posted"]] == ["240 gal"]
    assert "confirm with the fire authority" in told.content.decode()
    elsewhere = client_of(rooms.operator).post("/record/transfer/", {**form, "to": "NS"})
    assert elsewhere.context["posted"] == []


def test_another_plants_rooms_are_not_seen(rooms, client_of):
    dee = type(rooms.owner).objects.get(username="dee")
    assert client_of(dee).get("/rooms/").status_code == 404
