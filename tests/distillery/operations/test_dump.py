"""Dumping to processing: at the gauge, the loss since fill in the same entry."""

from datetime import date

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Descent, Lot
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = "2026-09-14 10:00"
BARRELS = ["B-1", "B-2", "B-3", "B-4"]
BOURBON = {"class_code": "whisky", "type_code": "bourbon"}
IN_OAK = {"wood": "new", "aged_from": date(2026, 1, 30)}


def cellar(**facts):
    """Four barrels of 10 gal at 118 proof, filled on 30 January."""
    world = make_world()
    make_barrels(world.premises, *BARRELS, rated=10)
    for code in BARRELS:
        put(
            world,
            "storage",
            code,
            f"26A30-{code}",
            wine="10",
            proof="11.8",
            **BOURBON,
            **IN_OAK,
            **facts,
        )
    return world


def dump(world, *codes, at=DAY, gauge=None, into="P-1", rows=None, **fields):
    rows = rows or [{"vessel": code} for code in codes]
    if gauge:
        fields["gauge"] = {"volume": f"{gauge} gal", "temperature": "60 F", "proof": "120"}
    return world.record("dump", at, vessels=rows, into=into, **fields)


def weighed(code, net="60", **more):
    return {"vessel": code, "net": f"{net} lb", "proof": "120", **more}


def test_four_barrels_lose_what_evaporated():
    # 27 CFR 19.462(a), 30.51: filled 47.2 PG; 36.25 gal at 120 proof are 43.50 PG, loss 3.7
    dump(cellar(), *BARRELS, gauge="36.25")
    assert held("P-1") == [("processing", "B-5", 3625, 4350)]
    assert moved("storage", "loss", "dump") == (0, 375, 370)


def test_a_range_of_barrels_goes_under_one_gauge():
    # 27 CFR 19.462(a), 30.51: filled 47.2 PG; 36.25 gal at 120 proof are 43.50 PG
    world = cellar()
    dump(world, rows=[], alike="B-1..B-4", gauge="36.25")
    assert moved("storage", "loss", "dump") == (0, 375, 370)
    assert held("B-4") == []


def test_a_range_without_a_gauge_is_refused():
    with pytest.raises(Refused) as refused:
        dump(cellar(), rows=[], alike="B-1..B-4")
    assert list(refused.value.errors) == ["vessels"]


def test_nothing_to_dump_is_refused():
    with pytest.raises(Refused) as refused:
        dump(cellar(), rows=[])
    assert list(refused.value.errors) == ["vessels"]


def test_one_gauge_is_shared_to_the_hundredth():
    # three equal parts of 43.51 cannot be equal; their sum is exact
    world = cellar()
    dump(world, *BARRELS[:3], gauge="25.01")
    assert moved("storage", "processing", "transfer") == (0, 2501, 3001)
    assert [held(code) for code in BARRELS[:3]] == [[], [], []]


def test_a_partial_draw_books_no_loss():
    # 27 CFR 19.462(a): a loss is determined when a vessel is emptied
    world = cellar()
    dump(world, rows=[weighed("B-1", "30", part="yes")])
    assert moved("storage", "loss", "dump") == (0, 0, 0)
    ((_, _, _, left),) = held("B-1")
    assert left == 1180 - moved("storage", "processing", "transfer")[2]


def test_a_barrel_weighed_goes_to_the_tenth():
    # 27 CFR 19.289(d): proof gallons of a package gauge to the nearest 0.1
    dump(cellar(), rows=[weighed("B-1")])
    assert moved("storage", "processing", "transfer")[2] % 10 == 0


def test_the_batch_keeps_kind_and_the_age_of_the_youngest():
    # 27 CFR 19.328; from 30 January to 14 September are 7 months and 15 days
    world = cellar()
    put(world, "storage", "S-1", "OLD", wine="5", proof="6", aged_new="P2Y4M", **BOURBON)
    dump(world, "B-1", "S-1", gauge="14")
    lot = Lot.objects.get(code="B-6")
    assert (lot.designation.type_code, lot.aged_new) == ("bourbon", "P7M15D")
    assert (lot.wood, lot.aged_from) == ("", None)


def test_a_tank_emptied_loses_under_its_own_purpose():
    world = make_world()
    put(world, "storage", "S-1", "OLD", wine="50", proof="60", **BOURBON)
    dump(world, "S-1", gauge="49.9")
    assert moved("storage", "loss", "empty") == (0, 10, 12)


def test_the_heel_becomes_part_of_the_batch():
    # 27 CFR 19.598: the record tells every ingredient of the batch
    world = cellar()
    put(world, "processing", "P-1", "HEEL", wine="10", proof="12", **BOURBON)
    dump(world, *BARRELS, gauge="36.25")
    assert held("P-1") == [("processing", "B-6", 4625, 5550)]
    parents = Descent.objects.filter(child__code="B-6").values_list("parent__code", flat=True)
    assert set(parents) == {"HEEL", *(f"26A30-{code}" for code in BARRELS)}


def test_more_than_was_filled_is_asked_about():
    world = cellar()
    with pytest.raises(Asked, match="gauge-gain"):
        dump(world, *BARRELS, gauge="40")
    dump(world, *BARRELS, gauge="40", confirm=["gauge-gain"])
    assert moved("gain", "storage", "dump") == (0, 0, 80)


def test_two_kinds_need_a_name():
    world = cellar()
    put(world, "storage", "S-1", "GIN", wine="5", proof="5", class_code="gin")
    with pytest.raises(Refused) as refused:
        dump(world, "B-1", "S-1", gauge="14")
    assert list(refused.value.errors) == ["family"]


def test_a_vessel_without_a_gauge_is_refused():
    # 27 CFR 19.283: gauged when moved between accounts
    with pytest.raises(Refused, match="gauge B-1"):
        dump(cellar(), "B-1")


def test_a_vessel_named_twice_is_refused():
    with pytest.raises(Refused, match="twice"):
        dump(cellar(), "B-1", "B-1", gauge="9")


def test_an_empty_barrel_is_refused():
    world = cellar()
    make_barrels(world.premises, "B-9")
    with pytest.raises(Refused, match="nothing to take in B-9"):
        dump(world, "B-9", gauge="9")


def test_it_says_that_there_is_no_way_back():
    # 27 CFR 19.351(c): processing gives nothing back to storage at the same plant
    done = dump(cellar(), *BARRELS, gauge="36.25")
    assert any("19.351(c)" in line for line in done.plan.lines)
    assert any("7 months 15 days" in line for line in done.plan.lines)


def test_the_record_bears_formula_source_records_and_notes():
    # 27 CFR 19.598: formula number, serial of the source record, oak chips, caramel
    done = dump(cellar(), *BARRELS[:2], gauge="18", formula="7", oak_chips=True)
    assert Lot.objects.get(code=f"B-{done.entry.number}").formula == "7"
    slip = next(slip for slip in done.plan.slips if slip.title == "Batch")
    assert slip.readings[0][0] == "dumped from B-1: 26A30-B-1 Spirits, record entry 1"
    assert slip.steps == ("Oak chips were used.", "Formula 7.")
    assert dict(slip.result)["all alcoholic ingredients"] == "21.60 PG"


def test_straight_bourbon_with_neutral_spirits_wants_a_formula():
    # 27 CFR 5.193: mixing of different classes
    world = cellar()
    put(world, "storage", "S-1", "NEUTRAL", wine="5", proof="9.5")
    with pytest.raises(Asked, match=r"different classes or materials \(27 CFR 5\.193\)"):
        dump(world, "B-1", "S-1", gauge="14", family="whisky", distilled_at="150")
