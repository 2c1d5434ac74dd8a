"""A bottling from its tank gauge to its close, by the figures of the law's own arithmetic."""

import pytest

from distillery.case_serials import Serials
from distillery.models import BottlingRun, CaseSerials, Product
from distillery.recording import Asked, Refused
from ledger.models import Holding, Movement
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.posting import record
from ledger.verifying import verify
from ledger.writing import Act
from tests.world import make_world

pytestmark = pytest.mark.django_db
TANK = {"volume": "103.56 gal", "temperature": "60 F", "proof": "90.0"}


@pytest.fixture
def world():
    return make_world()


def put(world, vessel="BT-1", wine=10356, proof=9320, code="B-1", **facts):
    """Gin ready to bottle, straight through the door: another plant's spirits, received."""
    facts = {"class_code": "gin", "type_code": "distilled gin", "form": "bulk", **facts}
    lot = NewLot(code, "batch", "pg", "Point gin", **facts)
    leg = Leg(
        Place("other_plant", code), Place("processing", code, vessel), "receive", 0, wine, proof
    )
    act = Act("receive", world.when("2026-03-20 08:00"), "ada", f"put-{code}", "{}")
    record(lambda look: Plan((leg,), (lot,)), premises=world.premises, act=act)


def open_it(world, at="2026-03-21 08:00", product="GIN-750", gauge=TANK, **more):
    return world.record("open-bottling", at, vessel="BT-1", product=product, gauge=gauge, **more)


def bottle(world, at="2026-03-21 16:00", **more):
    return world.record("bottle", at, vessel="BT-1", store="STORE", **more)


def finished():
    rows = Holding.objects.filter(account="finished")
    return [(r.lot.code, r.amount, r.wine_gallons, r.proof_gallons) for r in rows]


def tank():
    rows = Holding.objects.filter(account="processing")
    return [(r.wine_gallons, r.proof_gallons) for r in rows]


def test_the_tank_comes_to_its_gauge_before_a_bottle_is_filled(world):
    # 27 CFR 19.353; 93.6 PG in the book, 93.2 by the gauge: the loss falls now, as "reduce".
    put(world, wine=10400, proof=9360)
    open_it(world)
    assert tank() == [(10356, 9320)]
    loss = Movement.objects.get(to_account="loss")
    assert (loss.purpose, loss.wine_gallons, loss.proof_gallons) == ("reduce", 44, 40)


def test_it_numbers_the_record_and_the_lot_by_the_entry(world):
    put(world)
    done = open_it(world)
    run = BottlingRun.objects.get()
    number = done.entry.number
    assert (run.serial, run.lot_code) == (f"BR-{number}", f"K-{number}")
    assert done.entry.document == run.serial


def test_a_tank_is_in_one_bottling_at_a_time(world):
    put(world)
    open_it(world)
    with pytest.raises(Refused, match=r"BR-2 is still open in BT-1"):
        open_it(world, "2026-03-21 09:00")


def test_a_gauge_more_than_three_tenths_of_a_point_off_the_label_is_asked_about(world):
    # 27 CFR 19.356(c), 5.65(c): 45 % on the label, 45.35 % in the tank.
    put(world)
    with pytest.raises(Asked, match="proof-off-label"):
        open_it(world, gauge={**TANK, "proof": "90.7"}, confirm=["found-more"])


def test_a_gauge_at_the_edge_of_the_tolerance_passes(world):
    # 27 CFR 19.356(d): 39.7 for a label of 40 is still within; here 44.7 for 45.
    put(world)
    assert open_it(world, gauge={**TANK, "proof": "89.4"}).is_new


def test_a_product_of_another_class_than_the_tank_is_asked_about(world):
    put(world, class_code="rum", type_code="")
    with pytest.raises(Asked, match="class-differs"):
        open_it(world)


def test_neutral_spirits_are_bottled_as_vodka_without_a_question(world):
    # 27 CFR 5.142: vodka is neutral spirits.
    put(world, class_code="spirits_190", type_code="", proof=8285)
    assert open_it(world, product="VODKA-750", gauge={**TANK, "proof": "80"}).is_new


def test_a_missing_formula_or_label_approval_is_a_question_not_a_wall(world):
    put(world)
    Product.objects.filter(code="GIN-750").update(formula_no="", label_approval="")
    with pytest.raises(Asked, match=r"no-formula.*no-label-approval"):
        open_it(world)
    assert open_it(world, confirm=["no-formula", "no-label-approval"]).is_new


def test_bottled_in_bond_of_a_young_gin_is_asked_about(world):
    # 27 CFR 5.88: 100 proof, four years in wood.
    put(world)
    with pytest.raises(Asked, match="not-bottled-in-bond"):
        open_it(world, bottled_in_bond=True)


def test_a_gauge_that_finds_more_is_asked_about_and_then_a_gain(world):
    put(world, proof=9000)
    with pytest.raises(Asked, match="found-more"):
        open_it(world)
    open_it(world, confirm=["found-more"])
    assert Movement.objects.get(from_account="gain").proof_gallons == 320


def test_the_days_bottles_are_worth_what_the_law_computes(world):
    # 521 bottles of 750 mL at 90 proof: 390.75 L x 0.264172 = 103.23 WG (27 CFR 19.582),
    # x 90 / 100 = 92.90 PG (27 CFR 30.52).
    put(world)
    open_it(world)
    bottle(world, cases=43, loose=5)
    assert finished() == [("K-2", 521, 10323, 9290)]
    assert tank() == [(33, 30)]


def test_cases_are_numbered_and_the_remnant_bears_an_r(world):
    # 27 CFR 19.490, 19.359: 43 full cases and five bottles are cases 1-43 and 43R.
    put(world)
    open_it(world)
    done = bottle(world, cases=43, loose=5)
    assert done.entry.document == "1–43, 43R"
    row = CaseSerials.objects.get()
    assert (row.first, row.last, row.remnant_bottles) == (1, 43, 5)


def test_the_finished_lot_carries_what_reports_and_labels_need(world):
    put(world, source="imported", reduced_rate=False)
    open_it(world)
    bottle(world, cases=1)
    lot = Holding.objects.get(account="finished").lot
    kind = lot.designation
    assert (lot.stage, lot.unit, lot.bottle_ml, lot.per_case, lot.label_proof) == (
        "bottled", "bottle", 750, 12, 900,
    )  # fmt: skip
    assert (kind.class_code, kind.form, kind.source, kind.reduced_rate) == (
        "gin", "bottled", "imported", False,
    )  # fmt: skip


def test_later_days_go_into_the_same_lot_and_number_on(world):
    # 27 CFR 19.357: a tank not finished the same day goes on the next.
    put(world)
    open_it(world)
    bottle(world, cases=20)
    done = bottle(world, "2026-03-22 16:00", cases=23, loose=5)
    assert finished() == [("K-2", 521, 10323, 9290)]
    assert done.entry.document == "21–43, 43R"


def test_thousand_single_bottles_equal_the_thousand(world):
    # 27 CFR 19.582(b): rounded once, after multiplying. 40 singles stand for the thousand here;
    # test_fill counts the thousand itself.
    put(world)
    open_it(world)
    for minute in range(40):
        bottle(world, f"2026-03-21 10:{minute:02}", loose=1)
    # 40 x 0.75 L x 0.264172 = 7.925 WG; x 0.9 = 7.1326 PG
    assert finished() == [("K-2", 40, 793, 713)]


def test_loose_bottles_of_an_earlier_day_finish_a_case(world):
    # 27 CFR 19.359: loose remnant bottles may later finish a case.
    put(world)
    open_it(world)
    bottle(world, cases=1, loose=5)
    bottle(world, "2026-03-22 16:00", cases=1, from_loose=5)
    assert finished()[0][1] == 24


def test_a_measured_proof_counts_instead_of_the_labels(world):
    # 27 CFR 19.353: the record carries the proof measured. 12 x 0.75 x 0.264172 x 89.8 %.
    put(world)
    open_it(world)
    bottle(world, cases=1, proof_bottled="89.8")
    assert finished() == [("K-2", 12, 238, 214)]


def test_case_numbers_are_not_used_again_after_a_reversal(world):
    # 27 CFR 19.490: a number stands on one case.
    put(world)
    open_it(world)
    first = bottle(world, cases=3)
    world.record("reverse", "2026-03-21 17:00", entry=first.entry.number, reason="miscounted")
    assert bottle(world, "2026-03-21 17:10", cases=3).entry.document == "4–6"


def test_a_plant_with_earlier_cases_gives_its_first_number(world):
    put(world)
    open_it(world)
    assert bottle(world, cases=2, first_case=501).entry.document == "501–502"
    with pytest.raises(Refused, match="used before"):
        bottle(world, "2026-03-21 17:00", cases=2, first_case=502)


def test_numbers_begin_again_after_a_million():
    # 27 CFR 19.490
    assert str(Serials(999_999, 1_000_002, 3)) == "999999–2, 2R"


def test_a_size_outside_the_list_is_asked_about(world):
    # 27 CFR 5.203(a) has no 600 mL.
    put(world)
    Product.objects.filter(code="GIN-750").update(bottle_ml=600)
    with pytest.raises(Asked, match="not-a-standard-size"):
        open_it(world)


def test_nothing_is_bottled_from_a_tank_that_was_not_opened(world):
    put(world)
    with pytest.raises(Refused, match=r"No bottling was open in BT-1.*19\.353"):
        bottle(world, cases=1)


def test_more_bottles_than_the_tank_held_become_a_gain_once_confirmed(world):
    put(world)
    open_it(world)
    with pytest.raises(Asked, match="found-more"):
        bottle(world, cases=44)
    bottle(world, cases=44, confirm=["found-more"])
    # 528 bottles are 104.61 WG and 94.15 PG; the tank had 103.56 and 93.20
    assert Movement.objects.get(from_account="gain").proof_gallons == 95
    assert finished() == [("K-2", 528, 10461, 9415)]


def test_what_is_left_in_the_book_is_the_loss_of_bottling(world):
    # 27 CFR 19.599: gain or loss of the bottling; 93.20 less 92.90.
    put(world)
    open_it(world)
    bottle(world, cases=43, loose=5)
    world.record("close-bottling", "2026-03-21 18:00", vessel="BT-1")
    loss = Movement.objects.get(to_account="loss")
    assert (loss.purpose, loss.wine_gallons, loss.proof_gallons) == ("bottling", 33, 30)
    assert BottlingRun.objects.filter(closed_by__operation="close-bottling").exists()
    assert verify(world.premises).faults == []


def test_what_stays_in_the_tank_is_gauged(world):
    put(world)
    open_it(world)
    bottle(world, cases=43)
    # 92.01 PG bottled; 1.19 left by the book, 1.09 by the gauge
    rest = {"volume": "1.21 gal", "temperature": "60 F", "proof": "90"}
    world.record("close-bottling", "2026-03-21 18:00", vessel="BT-1", gauge=rest)
    assert tank() == [(121, 109)]
    assert Movement.objects.get(to_account="loss").proof_gallons == 10


def test_the_rest_may_stay_without_a_gauge(world):
    put(world)
    open_it(world)
    bottle(world, cases=20)
    world.record("close-bottling", "2026-03-21 18:00", vessel="BT-1", rest_stays=True)
    assert not Movement.objects.filter(to_account="loss").exists()
    assert open_it(world, "2026-03-21 19:00", gauge={**TANK, "volume": "55 gal"}).is_new


def test_writing_off_half_a_tank_is_asked_about(world):
    put(world)
    open_it(world)
    bottle(world, cases=20)
    with pytest.raises(Asked, match="large-loss"):
        world.record("close-bottling", "2026-03-21 18:00", vessel="BT-1")


def test_a_bottling_taken_back_frees_the_tank(world):
    put(world)
    done = open_it(world)
    world.record("reverse", "2026-03-21 09:00", entry=done.entry.number, reason="wrong tank")
    assert BottlingRun.objects.get().is_void
    assert open_it(world, "2026-03-21 10:00").is_new


def test_a_bottling_with_bottles_is_not_taken_back(world):
    put(world)
    done = open_it(world)
    bottle(world, cases=1)
    with pytest.raises(Refused, match="Take those back"):
        world.record("reverse", "2026-03-21 17:00", entry=done.entry.number, reason="wrong tank")


def test_a_close_taken_back_opens_the_bottling_again(world):
    put(world)
    open_it(world)
    bottle(world, cases=43, loose=5)
    done = world.record("close-bottling", "2026-03-21 18:00", vessel="BT-1")
    world.record("reverse", "2026-03-21 19:00", entry=done.entry.number, reason="not done yet")
    assert BottlingRun.objects.get().closed_by is None
    assert tank() == [(33, 30)]


def test_a_tank_filled_anew_needs_a_new_bottling(world):
    put(world)
    open_it(world)
    bottle(world, cases=43, loose=5)
    act = Act("move", world.when("2026-03-21 17:00"), "ada", "empty", "{}")
    leg = Leg(
        Place("processing", "B-1", "BT-1"), Place("processing", "B-1", "P-1"), "move", 0, 33, 30
    )
    record(lambda look: Plan((leg,)), premises=world.premises, act=act)
    put_later = NewLot("B-2", "batch", "pg", "Point gin", class_code="gin")
    more = Leg(
        Place("other_plant", "B-2"), Place("processing", "B-2", "BT-1"), "receive", 0, 5000, 4500
    )
    act = Act("receive", world.when("2026-03-21 17:30"), "ada", "more", "{}")
    record(lambda look: Plan((more,), (put_later,)), premises=world.premises, act=act)
    with pytest.raises(Refused, match="filled with another lot"):
        bottle(world, "2026-03-21 18:00", cases=1)


def test_bottles_count_at_the_proof_the_tank_was_gauged_at(world):
    # 27 CFR 19.353: the record carries the proof measured, here within 0.3 % of the label.
    # 12 x 0.75 L x 0.264172 = 2.3775 WG; x 90.4 % = 2.1493 PG
    put(world, proof=9362)
    open_it(world, gauge={**TANK, "proof": "90.4"})
    done = bottle(world, cases=1)
    assert finished() == [("K-2", 12, 238, 215)]
    assert done.entry.lots_opened.get().label_proof == 900


@pytest.mark.parametrize(("brimful", "is_asked"), [(815, False), (816, True), (None, False)])
def test_more_than_eight_per_cent_head_space_is_asked_about(world, brimful, is_asked):
    # 27 CFR 5.202(b): 66 of 816 mL are 8.1 %.
    put(world)
    Product.objects.filter(code="GIN-750").update(brimful_ml=brimful)
    if is_asked:
        with pytest.raises(Asked, match="head-space"):
            open_it(world)
    else:
        assert open_it(world).is_new
