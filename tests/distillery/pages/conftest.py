"""The small plant with a few acts in its book, and a browser's worth of logged-in clients."""

from collections.abc import Callable
from datetime import date

import pytest
from django.test import Client

from distillery.open_counts import start
from reports.filing_life import file_report
from reports.models import Filed
from reports.month_end import close_month
from reports.told import Told
from tests.distillery.stock import put
from tests.world import World, make_barrels, make_person, make_world


@pytest.fixture
def world(db) -> World:
    """The plant with corn in its bin, and a stranger named dee who belongs to no plant."""
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2")
    receive(world, quantity="2,000 lb")
    make_person(None, "dee", "")
    return world


@pytest.fixture
def client_of() -> Callable[..., Client]:
    """`client_of(user)` is a client logged in as that user; None is nobody."""

    def make(user=None, **options) -> Client:
        client = Client(**options)
        if user is not None:
            client.force_login(user)
        return client

    return make


def receive(world: World, *, at: str = "2026-01-05 09:00", **fields):
    """Corn received into BIN-1."""
    facts = {"material": "CORN", "quantity": "100 lb", "vessel": "BIN-1", "supplier": "A farm"}
    return world.record("receive-material", at, **{**facts, **fields})


def gauged(world: World) -> None:
    """Spirits put in a tank and drawn at a gauge: entries 2 and 3 of the small plant."""
    put(world, "storage", "S-2", "N", wine="115.58", proof="219.60")
    gauge = {"volume": "52.63 gal", "temperature": "60 F", "proof": "190"}
    world.record("draw-redistil", "2026-03-02 10:00", vessel="S-2", gauge=gauge, to="NS")
    put(world, "storage", "B-1", "26C02", wine="10", proof="11.8", class_code="rum")


def bottled(world: World) -> None:
    """Gin in an open bottling, BR-3, with a day's bottles and a check."""
    gin = {"class_code": "gin", "type_code": "distilled gin", "stage": "batch", "name": "Gin"}
    put(world, "processing", "BT-1", "B-GIN", wine="103.56", proof="93.20", **gin)
    gauge = {"volume": "103.56 gal", "temperature": "60 F", "proof": "90"}
    at_tank = {"vessel": "BT-1"}
    world.record("open-bottling", "2026-03-02 10:00", product="GIN-750", gauge=gauge, **at_tank)
    world.record("bottle", "2026-03-02 15:00", cases=20, loose=5, store="STORE", **at_tank)
    fills = [{"volume": "748 mL"}, {"volume": "753 mL"}]
    world.record("bottle-check", "2026-03-02 11:00", fills=fills, proof="45.1 %", **at_tank)


def running(world: World) -> None:
    """A gin run, RUN-1, in the still with a reading; a wash, WASH-1, with its first gravity."""
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    sources = [{"vessel": "NS"}]
    world.record(
        "charge", "2026-03-02 08:00", still="POT", sources=sources, water="30 gal",
        family="gin", lot="RUN-1",
    )  # fmt: skip
    at_still = {"still": "POT", "temperature": "178 F", "proof": "160", "cut": "heads"}
    world.record("still-reading", "2026-03-02 09:00", **at_still)
    grains = [{"lot": "G-1", "quantity": "400 lb"}]
    world.record(
        "mash", "2026-03-02 10:00", grains=grains, into="FV-1", wash="200 gal",
        gravity="1.060", lot="WASH-1",
    )  # fmt: skip


def filed(world: World) -> None:
    """The production report of January, closed and filed: paper number 1."""
    month = date(2026, 1, 1)
    close_month(world.premises, month, by="ada")
    told = Told(filed_on=date(2026, 2, 10), filed_by="Ada Quay", how="portal")
    kept = file_report(world.premises, month, "production", told, by="ada")
    rows = {name: getattr(kept, name) for name in (f.attname for f in Filed._meta.fields)}
    if kept.pk != 1:
        Filed.objects.create(**{**rows, "id": 1, "version": 9})


def walked(world: World) -> None:
    """Count number 1, open and with nothing found yet."""
    now = world.when("2026-03-31 09:00")
    day = now.date()
    start(world.premises, kind="other", as_of=day, is_blind=True, by="ada", now=now)
