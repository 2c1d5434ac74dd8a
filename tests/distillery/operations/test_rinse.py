"""Rinsing dumped barrels: what was soaked into the wood comes back as an explained gain."""

from datetime import date

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Descent, Lot, Movement
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
RUM = {"class_code": "rum", "wood": "other", "name": "Rum", "state": "XX"}


def dumped(**facts):
    """Two barrels of rum, filled on 30 January and dumped to S-1 on 14 September."""
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2", rated=10)
    for code in ("B-1", "B-2"):
        put(world, "storage", code, f"L-{code}", wine="10", proof="11.8",
            aged_from=date(2026, 1, 30), **RUM | facts)  # fmt: skip
    rows = [{"vessel": code, "net": "60 lb", "proof": "120"} for code in ("B-1", "B-2")]
    world.record("dump-to-tank", "2026-09-14 10:00", vessels=rows, into="S-1")
    return world


def rinse(world, volume="2", proof="20", barrels="B-1..B-2", at="2026-09-14 15:00", **more):
    gauge = {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}
    fields = {"water": "1.8 gal", "account": "storage", "into": "S-2", "gauge": gauge}
    return world.record("rinse", at, barrels=barrels, **fields | more)


def test_the_proof_gallons_are_a_gain_with_an_explanation():
    # 27 CFR 30.51: 2 gal at 20 proof are 0.40 PG; 0.2 gal more came out than the water put in
    done = rinse(dumped())
    assert held("S-2") == [("storage", "M-4", 200, 40)]
    assert moved("gain", "storage", "rinse") == (0, 20, 40)
    assert moved("water", "storage", "reduce") == (0, 180, 0)
    assert "recovered by rinsing B-1, B-2 with 1.80 gal of water" in done.plan.lines[0]


def test_it_is_as_old_as_what_was_dumped_and_is_traced_to_it():
    # 27 CFR 19.328; from 30 January to 14 September are 7 months and 15 days
    rinse(dumped())
    lot = Lot.objects.get(code="M-4")
    assert (lot.wood, lot.aged_other) == ("", "P7M15D")
    rows = Descent.objects.filter(child=lot).values_list("parent__code", flat=True)
    assert set(rows) == {"L-B-1", "L-B-2"}


def test_onto_the_dumped_spirits_it_makes_a_new_lot_with_them():
    rinse(dumped(), into="S-1")
    assert held("S-1")[0][1] == "M-4"


def test_into_processing_it_is_a_batch():
    rinse(dumped(), account="processing", into="P-1")
    assert held("P-1") == [("processing", "B-4", 200, 40)]


def test_more_than_a_tenth_of_the_dump_is_asked_about():
    with pytest.raises(Asked, match="rinse-much"):
        rinse(dumped(), proof="120")


def test_a_full_barrel_is_refused():
    world = dumped()
    put(world, "storage", "B-2", "NEXT", wine="10", proof="11", at="2026-09-14 12:00", **RUM)
    with pytest.raises(Refused, match="Record its dump") as refused:
        rinse(world)
    assert list(refused.value.errors) == ["barrels"]


def test_a_barrel_that_never_held_anything_is_refused():
    world = dumped()
    make_barrels(world.premises, "B-9")
    with pytest.raises(Refused, match="nothing that B-9 held"):
        rinse(world, barrels="B-9")


def test_two_kinds_are_refused():
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2", rated=10)
    for code, kind in (("B-1", "rum"), ("B-2", "gin")):
        put(world, "storage", code, f"L-{code}", wine="10", proof="11.8",
            aged_from=date(2026, 1, 30), **RUM | {"class_code": kind})  # fmt: skip
        row = {"vessel": code, "net": "60 lb", "proof": "120"}
        world.record("dump-to-tank", "2026-09-14 10:00", vessels=[row],
                     into="S-1" if kind == "rum" else "P-2")  # fmt: skip
    with pytest.raises(Refused, match="different kinds"):
        rinse(world)


def test_dated_back_it_sees_the_dump_before_it():
    world = dumped()
    put(world, "storage", "B-2", "NEXT", wine="10", proof="11", at="2026-10-01 12:00", **RUM)
    rinse(world)
    assert Movement.objects.filter(purpose="rinse").count() == 2
