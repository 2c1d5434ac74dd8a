"""Undoing once more, where the answer to the first tap was lost: it is told, and done once."""

import pytest

from distillery.models import ReadingVoid
from ledger.models import Entry
from tests.distillery.operations.plant_floor import mash

pytestmark = pytest.mark.django_db


def test_an_entry_undone_twice_is_reversed_once(world, client_of):
    client = client_of(world.owner)
    number = Entry.objects.get().number
    for words in ("Undone by № 2.", "It is undone already, by № 2."):
        told = client.post(f"/book/{number}/done/", follow=True)
        assert words in told.content.decode()
    assert Entry.objects.filter(operation="reverse").count() == 1


def test_a_reading_undone_twice_is_voided_once(world, client_of):
    mash(world, gravity="1.060")
    world.record(
        "ferment-reading", "2026-01-07 08:00", key="r1", vessel="FV-1", gravity="1.031",
        by=world.operator,
    )  # fmt: skip
    client = client_of(world.operator)
    for words in ("The reading of FV-1 is voided.", "The reading of FV-1 is voided already."):
        told = client.post("/readings/undo/", {"reading": "r1"}, follow=True)
        assert words in told.content.decode()
    assert ReadingVoid.objects.count() == 1
