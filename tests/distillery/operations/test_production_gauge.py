"""The production gauge: book against gauge inside production, then the deposit."""

from datetime import date

import pytest

from distillery.models import DatedSetting
from distillery.papers.gauge_record import gauge_records
from distillery.recording import Asked, Refused
from ledger.models import Descent, Entry, Holding, Lot, Movement
from ledger.verifying import verify
from tests.distillery.operations.plant_floor import charge, collect, gauge, held, mash
from tests.distillery.stock import moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db

AT = "2026-01-29 18:30"


def hearts(world, *, wine="111.94", proof="150", vessel="FEINTS", **facts):
    """Unfinished whisky in a receiving tank."""
    told = {"stage": "fraction", "class_code": "whisky", "material": "grain", **facts}
    put(world, "production", vessel, "R-1-hearts", wine=wine, proof=proof, **told)


def deposit(world, *, at=AT, **fields):
    told = {
        "vessel": "FEINTS", "gauge": gauge("111.94 gal", "134"), "account": "storage",
        "family": "whisky", "type_code": "bourbon", "distilled_at": "140", **fields,
    }  # fmt: skip
    if not {"barrels", "alike"} & told.keys():
        told.setdefault("into", "S-1")
    return world.record("production-gauge", at, **told)


def test_it_enters_storage_at_the_gauge_rounded_to_the_tenth():
    # 27 CFR 19.289(d): to the nearest 0.1; 111.94 x 134 / 100 = 149.9996
    world = make_world()
    hearts(world)
    done = deposit(world)
    assert held("storage", "S-1") == (11194, 15000)
    assert held("production", "FEINTS") == (0, 0)
    assert done.entry.document == f"GR-{done.entry.number}"


def test_a_plant_can_gauge_to_the_hundredth_from_a_day_on():
    world = make_world()
    DatedSetting.objects.create(
        premises=world.premises, name="gauge_step", value="0.01", effective=date(2026, 1, 29)
    )
    hearts(world)
    deposit(world, gauge=gauge("111.94 gal", "133.9"))
    assert moved("production", "storage", "deposit") == (0, 11194, 14989)


def test_a_tank_entry_says_so_on_the_movement():
    # TTB F 5110.40 Part III divides new wood, used wood and tanks
    world = make_world()
    hearts(world)
    deposit(world)
    row = Movement.objects.get(purpose="deposit")
    assert (row.cooperage, row.proof) == ("tank", 1340)


def test_the_gauged_lot_carries_what_the_report_needs():
    # 27 CFR 19.618; 19.305: in a tank it may be called Bourbon Whisky Designate
    world = make_world()
    hearts(world)
    deposit(world, state="XX")
    lot = Lot.objects.get(stage="spirits")
    kind = lot.designation
    assert (lot.name, lot.distilled_at, lot.state) == ("Bourbon whisky designate", 1400, "XX")
    assert (kind.class_code, kind.type_code, kind.material) == ("whisky", "bourbon", "grain")
    assert lot.producer == "Marram Point Spirits (invented), DSP-XX-00000"


def test_the_class_follows_the_proof_of_distillation():
    # the columns of TTB F 5110.40 divide whisky at 160
    world = make_world()
    hearts(world)
    deposit(world, type_code="light", distilled_at="170")
    assert Lot.objects.get(stage="spirits").designation.class_code == "whisky_over_160"


def test_what_the_gauge_lacks_is_lost_inside_production():
    # 27 CFR 19.585(a)(2): losses before the gauge stand in the daily records
    world = make_world()
    hearts(world, proof="152.5")
    deposit(world)
    assert moved("production", "loss", "regauge") == (0, 0, 250)
    assert moved("production", "storage", "deposit") == (0, 11194, 15000)


def test_a_gauge_well_above_the_book_is_asked_about():
    world = make_world()
    hearts(world, proof="140")
    with pytest.raises(Asked) as asked:
        deposit(world)
    assert [q.code for q in asked.value.plan.questions] == ["gauge-gain"]
    deposit(world, confirm=["gauge-gain"])
    assert moved("gain", "production", "regauge") == (0, 0, 1000)


def test_a_gauge_far_below_the_book_is_asked_about():
    world = make_world()
    hearts(world, proof="180")
    with pytest.raises(Asked) as asked:
        deposit(world)
    assert [q.code for q in asked.value.plan.questions] == ["gauge-loss"]


def test_the_rest_can_stay_in_the_receiver():
    # 27 CFR 19.289(a): gauged before and after each removal
    world = make_world()
    hearts(world)
    part = {"gauge": gauge("50 gal", "134"), "rest_stays": True}
    with pytest.raises(Asked) as asked:
        deposit(world, **part)
    assert [q.code for q in asked.value.plan.questions] == ["rest-not-gauged"]
    deposit(world, confirm=["rest-not-gauged"], **part)
    assert held("production", "FEINTS") == (6194, 8300)
    assert held("storage", "S-1") == (5000, 6700)


def test_a_part_is_taken_between_two_gauges():
    # 27 CFR 19.289(a): the gauge before, the removal, and the gauge after stand in the record
    world = make_world()
    hearts(world)
    done = deposit(
        world, gauge=gauge("50 gal", "134"), rest_stays=True,
        before=gauge("111.90 gal", "134"), after=gauge("61.80 gal", "134"),
    )  # fmt: skip
    titles = [slip.title for slip in done.plan.slips]
    assert titles == ["Before the removal", "After the removal", "Production gauge"]
    # 61.80 x 134 / 100 = 82.81; 150.00 - 67.00 - 82.81 = 0.19 is lost before the gauge
    assert held("production", "FEINTS") == (6180, 8281)
    assert moved("production", "loss", "regauge") == (0, 14, 19)
    deposit(world, at="2026-01-30 09:00", gauge=gauge("61.80 gal", "134"), into="S-2")
    assert held("production", "FEINTS") == (0, 0)
    # 61.80 gal at 134 to the tenth is 82.8 PG (27 CFR 19.289(d))
    assert held("storage", "S-2") == (6180, 8280)
    assert verify(world.premises).faults == []


def test_a_gauge_before_alone_says_what_stays():
    world = make_world()
    hearts(world)
    deposit(
        world, gauge=gauge("50 gal", "134"), rest_stays=True, before=gauge("111.90 gal", "134"),
        confirm=["rest-not-gauged"],
    )  # fmt: skip
    assert held("production", "FEINTS") == (6190, 8295)


def test_a_gauge_of_a_rest_that_does_not_stay_is_refused_beside_its_field():
    world = make_world()
    hearts(world)
    with pytest.raises(Refused) as refused:
        deposit(world, after=gauge("1 gal", "134"))
    assert list(refused.value.errors) == ["after"]


def test_onto_a_heel_the_new_spirits_are_entered_and_then_mingled():
    world = make_world()
    put(world, "storage", "S-1", "S-0", wine="20", proof="26", class_code="whisky")
    hearts(world)
    deposit(world)
    stands = Holding.objects.get(account="storage", wine_gallons__gt=0)
    parents = Descent.objects.filter(child=stands.lot).values_list("parent__code", flat=True)
    assert set(parents) == {"S-0", Lot.objects.get(code__startswith="S-3").code}
    assert (stands.wine_gallons, stands.proof_gallons) == (13194, 17600)


def test_a_tank_of_another_class_is_refused_beside_its_field():
    world = make_world()
    put(world, "storage", "S-1", "S-0", wine="20", proof="38")
    hearts(world)
    with pytest.raises(Refused) as refused:
        deposit(world)
    assert list(refused.value.errors) == ["into"]


def test_a_receiver_can_become_the_storage_tank_itself():
    # 27 CFR 19.306(b): the production gauge may be the entry gauge
    world = make_world()
    hearts(world)
    deposit(world, into="FEINTS")
    assert held("storage", "FEINTS") == (11194, 15000)


def test_gin_goes_straight_to_processing():
    # 27 CFR 19.306(a): deposit in storage or in processing
    world = make_world()
    hearts(world, class_code="gin", redistilled=True)
    deposit(world, account="processing", into="P-1", family="gin", type_code="", distilled_at="180")
    lot = Lot.objects.get(stage="spirits")
    assert held("processing", "P-1") == (11194, 15000)
    assert (lot.designation.class_code, lot.designation.redistilled) == ("gin", True)


def test_barrels_are_filled_straight_from_the_receiver():
    # 27 CFR 19.289(c), (d): average content x packages; 12 x 10 gal of 118 proof = 12 x 11.8
    world = make_world()
    codes = [f"B-{n}" for n in range(1, 13)]
    make_barrels(world.premises, *codes, rated=10)
    hearts(world, wine="120", proof="141.6")
    deposit(
        world, gauge=gauge("120 gal", "118"), barrels=[{"barrel": code} for code in codes],
        at="2026-01-30 15:00",
    )  # fmt: skip
    assert moved("production", "storage", "deposit") == (0, 12000, 14160)
    assert {row.cooperage for row in Movement.objects.filter(purpose="deposit")} == {"new"}
    lot = Lot.objects.get(stage="spirits")
    # 27 CFR 19.485: 30 January 2026
    assert (lot.code, lot.aged_from) == ("26A30", date(2026, 1, 30))


def test_a_range_of_codes_is_filled_alike():
    # 27 CFR 19.289(c), (d): 12 x 10 gal of 118 proof = 12 x 11.8
    world = make_world()
    make_barrels(world.premises, *(f"B-{n}" for n in range(1, 13)), rated=10)
    hearts(world, wine="120", proof="141.6")
    deposit(world, gauge=gauge("120 gal", "118"), alike="B-1..B-12", at="2026-01-30 15:00")
    assert moved("production", "storage", "deposit") == (0, 12000, 14160)


def test_barrels_that_hold_less_than_the_gauge_leave_a_loss():
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2")
    hearts(world, wine="30.2", proof="37.75", vessel="RCV-1")
    weights = [{"barrel": "B-1", "net": "112 lb"}, {"barrel": "B-2", "net": "113 lb"}]
    deposit(world, vessel="RCV-1", gauge=gauge("30.2 gal", "125"), barrels=weights)
    filled = moved("production", "storage", "deposit")[2]
    lost = moved("production", "loss", "regauge")[2]
    assert lost > 0
    assert filled + lost == 3775
    assert held("production", "RCV-1") == (0, 0)


def test_a_barrel_that_is_full_by_the_book_is_refused():
    world = make_world()
    make_barrels(world.premises, "B-1")
    put(world, "storage", "B-1", "26A02", wine="15", proof="18", class_code="whisky")
    hearts(world, wine="15", proof="18", vessel="RCV-1")
    with pytest.raises(Refused, match="Record its dump or move first"):
        deposit(world, vessel="RCV-1", gauge=gauge("15 gal", "120"), barrels=[{"barrel": "B-1"}])


def test_a_fill_that_was_reversed_leaves_the_wood_new():
    world = make_world()
    make_barrels(world.premises, "B-1")
    hearts(world, wine="15", proof="18", vessel="RCV-1")
    fields = {
        "vessel": "RCV-1", "gauge": gauge("15 gal", "120"), "barrels": [{"barrel": "B-1"}],
    }  # fmt: skip
    first = deposit(world, **fields)
    world.record("reverse", AT, entry=str(first.entry.number), reason="Wrong barrel")
    deposit(world, at="2026-01-29 19:00", **fields)
    last = Movement.objects.filter(purpose="deposit").order_by("-pk").first()
    assert (last.cooperage, last.to_lot.code) == ("new", "26A29A")


@pytest.mark.parametrize(
    ("type_code", "distilled", "proof", "codes"),
    [
        ("bourbon", "160", "125", []),  # 27 CFR 5.143(c)(2): at 160 and at 125 it still is
        ("bourbon", "160", "125.1", ["name-entry-proof"]),
        ("straight rye", "160.1", "120", ["name-distilled-proof"]),
        # 27 CFR 5.143(c)(8): light whisky is distilled above 160, and not kept in charred new oak
        ("light", "170", "140", ["name-wood"]),
    ],
)
def test_whisky_outside_its_limits_is_asked_about(type_code, distilled, proof, codes):
    world = make_world()
    make_barrels(world.premises, "B-1")
    hearts(world, wine="15", proof=str(15 * float(proof) / 100), vessel="RCV-1")
    fields = {
        "vessel": "RCV-1", "gauge": gauge("15 gal", proof), "barrels": [{"barrel": "B-1"}],
        "type_code": type_code, "distilled_at": distilled,
    }  # fmt: skip
    if not codes:
        assert deposit(world, **fields).is_new
        return
    with pytest.raises(Asked) as asked:
        deposit(world, **fields)
    assert [q.code for q in asked.value.plan.questions] == codes


def test_bourbon_into_used_wood_is_asked_about():
    # 27 CFR 5.143(c)(2): charred new oak
    world = make_world()
    make_barrels(world.premises, "B-1", cooperage="R")
    hearts(world, wine="15", proof="18", vessel="RCV-1")
    with pytest.raises(Asked) as asked:
        deposit(world, vessel="RCV-1", gauge=gauge("15 gal", "120"), barrels=[{"barrel": "B-1"}])
    assert [q.code for q in asked.value.plan.questions] == ["name-wood"]


def test_vodka_below_190_is_asked_about():
    # 27 CFR 5.142: neutral spirits are distilled at or above 190
    world = make_world()
    hearts(world)
    with pytest.raises(Asked) as asked:
        deposit(world, family="vodka", type_code="", distilled_at="188")
    assert [q.code for q in asked.value.plan.questions] == ["name-distilled-proof"]


def test_a_tank_and_barrels_together_are_refused():
    world = make_world()
    make_barrels(world.premises, "B-1")
    hearts(world)
    with pytest.raises(Refused) as refused:
        deposit(world, into="S-1", barrels=[{"barrel": "B-1"}])
    assert list(refused.value.errors) == ["into"]


def test_barreled_spirits_are_traced_to_the_grain():
    # 27 CFR 19.585(a)(3)
    world = make_world()
    make_barrels(world.premises, "B-1")
    mash(world, wash="140 gal", confirm=["odd-strength"])
    charge(world, "FV-1")
    collect(world, "hearts", "15 gal", "120")
    deposit(world, vessel="RCV-1", gauge=gauge("15 gal", "120"), barrels=[{"barrel": "B-1"}])
    found, wanted = [], {Lot.objects.get(stage="spirits").pk}
    while wanted:
        rows = Descent.objects.filter(child__in=wanted).select_related("parent")
        found += [row.parent.stage for row in rows]
        wanted = {row.parent_id for row in rows}
    assert found == ["fraction", "run", "wash", "material"]


def test_the_book_stays_true():
    world = make_world()
    hearts(world)
    deposit(world)
    assert verify(world.premises).faults == []
    assert Entry.objects.count() == 2


def test_each_lot_of_packages_has_a_gauge_record_of_its_own():
    # 27 CFR 19.289(d); 19.485: packages of another rated capacity are another lot
    world = make_world()
    hearts(world, wine="40", proof="49.6", vessel="RCV-1")
    make_barrels(world.premises, "B-1", "B-2")
    make_barrels(world.premises, "B-9", rated=10)
    volumes = {"B-1": "15 gal", "B-2": "15 gal", "B-9": "10 gal"}
    barrels = [{"barrel": code, "volume": volume} for code, volume in volumes.items()]
    done = deposit(world, vessel="RCV-1", gauge=gauge("40 gal", "124"), barrels=barrels)
    records = gauge_records(done.entry)[:2]
    serials = [dict(paper.parts[0].pairs)["Serial number"] for paper in records]
    assert serials == [f"GR-{done.entry.number}-1", f"GR-{done.entry.number}-2"]
    assert [len(paper.parts[1].rows) for paper in records] == [3, 2]  # a total each
