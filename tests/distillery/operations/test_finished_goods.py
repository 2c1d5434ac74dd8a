"""Bottles in their store: broken, recased, relabelled, reclosed, moved; supplies scrapped."""

import pytest

from distillery.case_serials import loose_left
from distillery.cased import lots_cased
from distillery.models import CaseSerials, Product
from distillery.recording import Asked, Refused
from ledger.models import Holding, Movement
from ledger.verifying import verify
from tests.distillery.operations.bottling_line import DAY, bottle, opened, supplies
from tests.distillery.stock import held, moved, put
from tests.world import make_vessel, make_world

pytestmark = pytest.mark.django_db
LATER = "2026-03-25 10:00"


@pytest.fixture
def world():
    """43 cases and 5 bottles of gin, lot K-2: 521 bottles, 103.23 WG, 92.90 PG."""
    world = make_world()
    opened(world)
    bottle(world, cases=43, loose=5)
    return world


def sound(world):
    assert verify(world.premises).faults == []


def test_bottles_broken_in_store_are_lost_as_finished_goods(world):
    # TTB F 5110.28 line 44. 12 of 521 bottles carry 103.23 x 12/521 = 2.38 WG, 2.14 PG.
    done = world.record(
        "break-bottles", LATER, vessel="STORE", bottles=12, case_serials="7",
        how="dropped from the lift", seen_by="bo",
    )  # fmt: skip
    assert moved("finished", "loss", "breakage") == (12, 238, 214)
    assert done.entry.document == "7"
    sound(world)


def test_bottles_broken_at_the_line_are_a_loss_of_the_bulk(world):
    # TTB F 5110.28 line 24. 1 bottle of 750 mL at 90 proof: 0.20 WG, 0.18 PG (27 CFR 19.582).
    glass = supplies(world, bottle=10)["bottle"]
    world.record(
        "break-bottles", f"{DAY} 17:00", vessel="BT-1", bottles=1, how="jammed at the corker",
        materials=[{"lot": glass, "scrapped": 1}],
    )  # fmt: skip
    assert moved("processing", "loss", "breakage") == (0, 20, 18)
    assert moved("materials", "loss", "breakage") == (1, 0, 0)
    sound(world)


def test_breakage_at_a_tank_the_book_has_empty_is_recorded_all_the_same(world):
    # The tank has 0.33 WG and 0.30 PG left, and two broken bottles had 0.40 and 0.36.
    facts = {"vessel": "BT-1", "bottles": 2, "how": "jammed"}
    with pytest.raises(Asked, match="found-more"):
        world.record("break-bottles", f"{DAY} 17:00", **facts)
    world.record("break-bottles", f"{DAY} 17:00", **facts, confirm=["found-more"])
    world.record("break-bottles", f"{DAY} 17:10", **facts, confirm=["found-more"])
    assert moved("processing", "loss", "breakage") == (0, 80, 72)
    sound(world)


def test_breakage_at_the_line_needs_an_open_bottling(world):
    world.record("close-bottling", f"{DAY} 18:00", vessel="BT-1")
    with pytest.raises(Refused, match="No bottling was open"):
        world.record("break-bottles", LATER, vessel="BT-1", bottles=1, how="fell")


def test_more_broken_than_the_book_has_is_asked_about(world):
    with pytest.raises(Asked, match="found-more"):
        world.record("break-bottles", LATER, vessel="STORE", bottles=522, how="the rack fell")


def test_breakage_dated_back_lies_at_its_own_day(world):
    make_vessel(world.premises, "STORE-2", "store")
    world.record("move-cases", LATER, vessel="STORE", to="STORE-2", rows=[row(cases=1)])
    done = world.record("break-bottles", "2026-03-22 09:00", vessel="STORE", bottles=1, how="fell")
    assert done.entry.happened_at == world.when("2026-03-22 09:00")
    sound(world)


def row(lot="K-2", **more):
    return {"lot": lot, **more}


def test_cases_move_to_another_store_with_their_share(world):
    make_vessel(world.premises, "STORE-2", "store")
    world.record("move-cases", LATER, vessel="STORE", to="STORE-2", rows=[row(cases=10)])
    assert moved("finished", "finished", "move") == (120, 2378, 2140)
    world.record("move-cases", LATER, vessel="STORE", to="STORE-2", everything=True)
    assert held("STORE") == []
    assert held("STORE-2") == [("finished", "K-2", 10323, 9290)]
    sound(world)


def test_a_move_needs_another_store_and_something_to_move(world):
    with pytest.raises(Refused, match="same store"):
        world.record("move-cases", LATER, vessel="STORE", to="STORE", rows=[row(cases=1)])
    make_vessel(world.premises, "STORE-2", "store")
    with pytest.raises(Refused, match="Give the cases moved"):
        world.record("move-cases", LATER, vessel="STORE", to="STORE-2")
    with pytest.raises(Refused, match="no bottles in STORE-2"):
        world.record("move-cases", LATER, vessel="STORE-2", to="STORE", everything=True)


def vodka(world):
    """Vodka of another lot in the same store."""
    put(
        world, "finished", "STORE", "K-V", wine="2.38", proof="1.90", amount=12, stage="bottled",
        unit="bottle", form="bottled", name="Point vodka", bottle_ml=750, per_case=12,
        label_proof=800, product="VODKA-750", at="2026-03-22 08:00",
    )  # fmt: skip


def test_mixed_cases_bear_numbers_of_their_own_and_nothing_moves(world):
    # 27 CFR 19.490: a new case, a new number.
    vodka(world)
    before = Movement.objects.count()
    done = world.record(
        "recase", LATER, vessel="STORE", kind="mixed", cases=4, per_case=6,
        rows=[row(cases=1, case_serials="43"), row("K-V", cases=1)],
    )  # fmt: skip
    assert done.entry.document == "44–47"
    assert Movement.objects.count() == before
    assert CaseSerials.objects.get(entry=done.entry).product is None
    assert bottle(world, "2026-03-25 11:00", cases=1, confirm=["found-more"]).entry.document == "48"


def test_gift_packs_use_cartons(world):
    cartons = supplies(world, at="2026-03-22 09:00", carton=10)["carton"]
    world.record(
        "recase", LATER, vessel="STORE", kind="gift", cases=6, per_case=2, letters="P",
        rows=[row(cases=1)], materials=[{"lot": cartons, "used": 6}],
    )  # fmt: skip
    assert Holding.objects.get(lot__code=cartons).amount == 4
    assert str(CaseSerials.objects.get(series="P")) == "1–6"
    sound(world)


def test_an_opened_case_leaves_single_bottles_for_a_later_one(world):
    gin = Product.objects.get(code="GIN-750")
    before = loose_left(gin)
    world.record("recase", LATER, vessel="STORE", kind="opened", rows=[row(cases=1)])
    assert loose_left(gin) == before + 12


def test_a_loose_bottle_takes_the_place_of_a_broken_one(world):
    # 27 CFR 19.359: loose bottles of a remnant may replace breakage; the case keeps its number.
    rows = [row(bottles=1, case_serials="7")]
    done = world.record("recase", LATER, vessel="STORE", kind="filled", rows=rows)
    assert done.entry.document == ""
    assert loose_left(Product.objects.get(code="GIN-750")) == 4


def test_no_more_bottles_are_packed_than_were_taken(world):
    with pytest.raises(Refused, match="14 bottles were packed and 12 taken"):
        world.record(
            "recase", LATER, vessel="STORE", kind="gift", cases=7, per_case=2, rows=[row(cases=1)]
        )


def test_recasing_more_than_stands_there_is_asked_about(world):
    with pytest.raises(Asked, match="more-than-book"):
        world.record("recase", LATER, vessel="STORE", kind="opened", rows=[row(cases=44)])


def relabel(world, at=LATER, **more):
    facts = {"vessel": "STORE", "lot": "K-2", "cases": 10, "case_serials": "1-10", **more}
    return world.record("relabel", at, **facts)


def navy(world, **changes):
    """Another label for the same bottle."""
    facts = {"family": "gin", "type_code": "distilled gin", "label_proof": 90, "bottle_ml": 750}
    return Product.objects.create(
        premises=world.premises, code="NAVY-750", name="Navy gin", per_case=12,
        label_approval="11111", **{**facts, **changes},
    )  # fmt: skip


def test_under_another_label_bottles_are_another_lot(world):
    # 27 CFR 19.604: identity, date, case serials, bottles, label approval.
    navy(world)
    done = relabel(world, product="NAVY-750")
    lot = done.entry.lots_opened.get()
    assert (lot.name, lot.product, lot.per_case) == ("Navy gin", "NAVY-750", 12)
    assert moved("finished", "finished", "relabel") == (120, 2378, 2140)
    assert (done.entry.document, lot.parents.get().parent.code) == ("1-10", "K-2")
    sound(world)


def test_the_same_product_under_a_new_label_is_a_record_only(world):
    before = Movement.objects.count()
    done = relabel(world, label_approval="22222", why="new artwork")
    assert (Movement.objects.count(), done.entry.document) == (before, "1-10")


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"label_approval": ""}, "no-label-approval"),
        ({"label_proof": 94}, "proof-off-label"),  # 27 CFR 5.65(c): 0.3 % by volume
        ({"family": "vodka"}, "class-differs"),
    ],
)
def test_what_does_not_fit_the_new_label_is_asked_about(world, changes, code):
    if "label_approval" in changes:
        navy(world)
        Product.objects.filter(code="NAVY-750").update(label_approval="")
    else:
        navy(world, **changes)
    with pytest.raises(Asked, match=code):
        relabel(world, product="NAVY-750")
    assert relabel(world, product="NAVY-750", confirm=[code]).is_new


def test_another_bottle_is_no_relabelling(world):
    navy(world, bottle_ml=700)
    with pytest.raises(Refused, match="comes in another bottle"):
        relabel(world, product="NAVY-750")


def test_bottles_of_another_bottler_want_their_consent(world):
    # 27 CFR 19.363, 19.604
    vodka(world)
    facts = {"lot": "K-V", "cases": 1, "label_approval": "3", "case_serials": "uncased"}
    with pytest.raises(Asked, match="no-consent"):
        relabel(world, **facts)
    assert relabel(world, **facts, consent="letter of 20 March 2026").is_new


def test_reclosing_uses_closures_and_moves_no_spirits(world):
    corks = supplies(world, at="2026-03-22 09:00", closure=50)["closure"]
    done = world.record(
        "reclose", LATER, vessel="STORE", lot="K-2", bottles=5, case_serials="43R",
        why="corks leak", materials=[{"lot": corks, "used": 5, "scrapped": 1}],
    )  # fmt: skip
    assert Holding.objects.get(lot__code=corks).amount == 44
    assert not Movement.objects.filter(entry=done.entry).exclude(proof_gallons=0).exists()
    sound(world)


def test_taxpaid_stock_is_relabelled_outside_bond(world):
    world.record(
        "remove", "2026-03-23 10:00", document="INV-1", to="taxpaid", shop="STORE", initials="wr",
        rows=[{"lot": "K-2", "cases": 43, "bottles": 5}],
    )  # fmt: skip
    navy(world)
    relabel(world, product="NAVY-750")
    assert moved("taxpaid", "taxpaid", "relabel")[0] == 120
    sound(world)


def test_what_is_taken_back_leaves_the_store_as_it_was(world):
    navy(world)
    acts = [
        relabel(world, "2026-03-25 10:00", product="NAVY-750"),
        world.record(
            "break-bottles", "2026-03-25 11:00", vessel="STORE", lot="K-2", bottles=1, how="fell"
        ),
        world.record(
            "recase", "2026-03-25 12:00", vessel="STORE", kind="opened", rows=[row(cases=1)]
        ),
    ]
    for done in reversed(acts):
        world.record("reverse", LATER, entry=done.entry.number, reason="not so")
    assert held("STORE") == [("finished", "K-2", 10323, 9290)]
    assert loose_left(Product.objects.get(code="GIN-750")) == 5
    sound(world)


def test_a_mixed_case_leads_to_the_lots_in_it(world):
    vodka(world)
    done = world.record(
        "recase", LATER, vessel="STORE", kind="mixed", cases=4, per_case=6,
        rows=[row(cases=1), row("K-V", cases=1)],
    )  # fmt: skip
    assert [lot.code for lot in lots_cased(done.entry)] == ["K-2", "K-V"]


@pytest.mark.parametrize(
    ("disposition", "flow"),
    [
        ("broken", ("loss", "breakage")),
        ("unfit", ("destroyed", "destroy")),
        ("supplier", ("supplier", "return")),
    ],
)
def test_empties_leave_unused(world, disposition, flow):
    # 27 CFR 19.603: disposition of liquor bottles.
    glass = supplies(world, at="2026-03-22 09:00", bottle=100)["bottle"]
    rows = [{"lot": glass, "scrapped": 12}]
    world.record("scrap-supplies", LATER, rows=rows, disposition=disposition)
    assert moved("materials", *flow) == (12, 0, 0)
    assert Holding.objects.get(lot__code=glass).amount == 88
