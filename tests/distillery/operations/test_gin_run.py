"""A gin run as it is done: base charged, heads, stopped, basket loaded, on, hearts, tails.

27 CFR 19.585(a)(3) through production and 19.602 inside processing: the spirits are traced to
what went into the still. Grams a liter of pure alcohol: total grams / (gallons x 3.785411784 x
ABV), the arithmetic of 27 CFR 30.11's definitions of gallon and proof.
"""

from decimal import Decimal

import pytest

from distillery.botanicals import bill_of, bills_for
from distillery.models import Remark
from distillery.pages.standing import held_now
from distillery.recording import Asked, Refused
from distillery.remarks import states_of
from ledger.models import Descent, Holding, Lot, Movement
from ledger.models.book import LIVE
from ledger.verifying import verify
from tests.distillery.operations.plant_floor import charge, collect, deliver, gauge, held, mash
from tests.distillery.stock import moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db

DAY = "2026-01-12"


def base(world, account: str = "redistil") -> None:
    """20 gal of 190 proof to make gin of: 38 PG, 71.92 L of pure alcohol."""
    tank = "NS" if account == "redistil" else "P-1"
    put(world, account, tank, "N-1", wine="20", proof="38")


def load(world, *lots: tuple[str, str], at: str = f"{DAY} 09:30", still: str = "POT", **more):
    botanicals = [{"lot": lot, "quantity": quantity} for lot, quantity in lots]
    return world.record("load-basket", at, still=still, botanicals=botanicals, **more)


def states(world) -> dict[str, str]:
    told = states_of(held_now(world.premises), world.premises)
    return {world.premises.vessels.get(pk=pk).code: state.title for pk, state in told.items()}


def stop(world, at: str = f"{DAY} 09:00"):
    return world.record("stop-still", at, still="POT", why="to load the basket", proof="172")


def test_the_whole_run_through_production():
    world = make_world()
    base(world)
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    run = charge(world, "NS", family="gin", type_code="", water="30 gal")
    collect(world, "heads", "0.5 gal", "170", at=f"{DAY} 08:40")
    stop(world)
    assert states(world) == {"POT": "Stopped"}
    load(world, (juniper, "1,800 g"))
    world.record("run-on", f"{DAY} 10:00", still="POT")
    assert states(world) == {}
    collect(world, "hearts", "20 gal", "160", into="RCV-2", at=f"{DAY} 13:00")
    collect(world, "tails", "4 gal", "90", into="FEINTS", at=f"{DAY} 15:00")
    out = {"still": "POT", "run": run, "weight": "3,100 g", "fate": "compost"}
    done = world.record("spent-botanicals", f"{DAY} 18:00", **out)
    assert done.plan.slips[0].result == (("liquid held in them", "1,300.00 g"),)
    world.record("close-run", f"{DAY} 18:30", still="POT")
    assert held("production", "RCV-2") == (2000, 3200)
    assert moved("production", "loss", "run") == (0, 0, 3800 - 85 - 3200 - 360)
    kinds = Remark.objects.order_by("pk").values_list("kind", flat=True)
    assert list(kinds) == ["stopped", "running", "botanicals"]
    assert Descent.objects.filter(LIVE, parent__code=juniper, child__code=run).exists()
    assert verify(world.premises).faults == []


def test_the_bill_has_grams_a_liter_of_pure_alcohol():
    # 38 PG are 19 gal of alcohol, 19 x 3.785411784 = 71.9228 L; 1,800 g / 71.9228 = 25.03
    world = make_world()
    base(world)
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    run = charge(world, "NS", family="gin", type_code="", water="30 gal")
    done = load(world, (juniper, "1,800 g"))
    one = bill_of(Lot.objects.get(code=run))
    assert (one.grams, one.per_liter) == (Decimal(1800), Decimal("25.03"))
    assert done.plan.lines[-1] == (
        "Botanicals together 1,800.00 g, 25.03 g a liter of pure alcohol."
    )
    assert "71.92 L of pure alcohol" in done.plan.slips[0].steps[0]


def test_the_bill_stands_with_what_came_of_the_run():
    world = make_world()
    base(world)
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    run = charge(world, "NS", family="gin", type_code="", water="30 gal")
    load(world, (juniper, "1,800 g"))
    hearts = collect(world, "hearts", "20 gal", "160", into="RCV-2").entry.lots_opened.get()
    assert [(one.code, bill.grams) for one, bill in bills_for(hearts)] == [(run, Decimal(1800))]
    assert bills_for(Lot.objects.get(code=juniper)) == []


def test_a_basket_loaded_first_goes_with_the_charge():
    world = make_world()
    base(world)
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    done = load(world, (juniper, "700 g"), at=f"{DAY} 07:00")
    assert done.plan.lines == (
        f"700.00 g Juniper ({juniper}) into the basket of POT.",
        "In the basket 700.00 g; the charge will take them along.",
    )
    assert Holding.objects.get(vessel__code="POT").amount == 70000
    run = charge(world, "NS", family="gin", type_code="", water="30 gal")
    assert moved("materials", "mashed", "basket") == (70000, 0, 0)
    assert bill_of(Lot.objects.get(code=run)).grams == Decimal(700)
    assert not Holding.objects.filter(LIVE, vessel__code="POT", account="materials").exists()


def test_what_lies_in_a_basket_is_not_drawn_for_anything_else():
    world = make_world()
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    load(world, (juniper, "1,900 g"), at=f"{DAY} 07:00")
    with pytest.raises(Asked) as asked:
        load(world, (juniper, "200 g"), still="COL")
    assert [q.code for q in asked.value.plan.questions] == ["found-more"]


def test_a_basket_can_be_emptied_again():
    world = make_world()
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    done = load(world, (juniper, "700 g"), at=f"{DAY} 07:00")
    world.record("reverse", f"{DAY} 07:30", entry=str(done.entry.number), reason="Wrong lot")
    assert Holding.objects.get(vessel__code="SHELF").amount == 200000


def test_inside_processing_the_basket_is_loaded_in_the_middle_too():
    # 27 CFR 19.602: kind and quantity into the still, and out of it on completion
    world = make_world()
    base(world, "processing")
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    world.record(
        "still-charge-processing", f"{DAY} 08:00", still="COL", sources=[{"vessel": "P-1"}],
        family="gin", water="30 gal", formula="1",
    )  # fmt: skip
    world.record("stop-still", f"{DAY} 09:00", still="COL")
    load(world, (juniper, "1,800 g"), still="COL")
    world.record("run-on", f"{DAY} 10:00", still="COL")
    hearts = {"vessel": "P-2", "what": "spirits", "family": "gin", **gauge("23 gal", "160")}
    done = world.record(
        "still-collect-processing", f"{DAY} 15:00", still="COL", outputs=[hearts], ends=True
    )
    assert done.plan.slips[-1].result == (
        ("in", "38.00 PG"),
        ("out", "36.80 PG"),
        ("lost", "1.20 PG"),
    )
    batch = Holding.objects.get(LIVE, vessel__code="P-2").lot
    assert [bill.per_liter for _, bill in bills_for(batch)] == [Decimal("25.03")]
    assert verify(world.premises).faults == []


def test_a_botanical_younger_than_the_charge_makes_the_run_go_on_as_a_new_lot():
    # a lot comes only from older lots; the run's alcohol is balanced over both
    world = make_world()
    base(world)
    first = charge(world, "NS", family="gin", type_code="", water="30 gal")
    collect(world, "heads", "1 gal", "170", at=f"{DAY} 08:40")
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    load(world, (juniper, "1,800 g"))
    run = Holding.objects.get(LIVE, vessel__code="POT").lot
    assert run.code != first
    assert bill_of(run).per_liter == Decimal("25.03")
    collect(world, "hearts", "22 gal", "160", into="RCV-2", at=f"{DAY} 13:00")
    done = world.record("close-run", f"{DAY} 18:30", still="POT")
    assert done.plan.slips[0].result[:2] == (("in", "38.00 PG"), ("out", "36.90 PG"))
    assert Descent.objects.filter(parent__code=juniper, child=run).exists()
    assert verify(world.premises).faults == []


def test_wash_has_no_base_to_reckon_by():
    world = make_world()
    mash(world, wash="140 gal", confirm=["odd-strength"])
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    used = [{"lot": juniper, "quantity": "600 g"}]
    run = charge(world, "FV-1", family="gin", type_code="", botanicals=used)
    one = bill_of(Lot.objects.get(code=run))
    assert (one.per_liter, one.summary) == (
        None, "Botanicals together 600.00 g; the alcohol charged was not gauged.",
    )  # fmt: skip


def test_a_basket_far_from_its_parts_is_asked_about():
    world = make_world()
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    with pytest.raises(Asked) as asked:
        load(world, (juniper, "700 g"), weighed="800 g")
    assert [q.code for q in asked.value.plan.questions] == ["basket-weight"]


@pytest.mark.parametrize("slug", ["stop-still", "run-on"])
def test_an_empty_still_is_neither_stopped_nor_run_on(slug):
    world = make_world()
    with pytest.raises(Refused) as refused:
        world.record(slug, f"{DAY} 09:00", still="POT")
    assert list(refused.value.errors) == ["still"]


def test_a_stop_ends_with_its_run_and_when_it_is_taken_back():
    world = make_world()
    base(world)
    charge(world, "NS", family="gin", type_code="", water="30 gal")
    done = stop(world)
    world.record("reverse", f"{DAY} 09:10", entry=str(done.entry.number), reason="Other still")
    assert states(world) == {}
    stop(world, f"{DAY} 09:20")
    world.record("close-run", f"{DAY} 10:00", still="POT", confirm=["fraction-missing"])
    assert states(world) == {}


@pytest.mark.parametrize(
    ("used", "weight", "code"),
    [("600 g", "500 g", "lighter-than-in"), ("", "500 g", "no-botanicals")],
)
def test_odd_spent_botanicals_are_asked_about(used, weight, code):
    # wet botanicals weigh more than dry ones (common practice, no source)
    world = make_world()
    base(world)
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    rows = [{"lot": juniper, "quantity": used}] if used else []
    run = charge(world, "NS", family="gin", type_code="", water="30 gal", botanicals=rows)
    before = Movement.objects.count()
    fields = {"still": "POT", "run": run, "weight": weight, "fate": "bin"}
    with pytest.raises(Asked) as asked:
        world.record("spent-botanicals", f"{DAY} 18:00", **fields)
    assert [q.code for q in asked.value.plan.questions] == [code]
    world.record("spent-botanicals", f"{DAY} 18:00", confirm=[code], **fields)
    assert Movement.objects.count() == before


def test_a_basket_recorded_late_goes_into_the_run_of_its_hour():
    world = make_world()
    base(world)
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    run = charge(world, "NS", family="gin", type_code="", water="30 gal")
    collect(world, "hearts", "23 gal", "160", at=f"{DAY} 13:00")
    world.record("close-run", f"{DAY} 18:30", still="POT")
    load(world, (juniper, "1,800 g"))
    assert bill_of(Lot.objects.get(code=run)).grams == Decimal(1800)
    assert verify(world.premises).faults == []


def test_what_waits_in_the_basket_of_a_run_charged_late_goes_in_with_the_next_load():
    world = make_world()
    base(world)
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    load(world, (juniper, "700 g"), at=f"{DAY} 08:30")
    run = charge(world, "NS", family="gin", type_code="", water="30 gal")
    load(world, (juniper, "300 g"), at=f"{DAY} 09:30")
    assert bill_of(Lot.objects.get(code=run)).grams == Decimal(1000)
    assert not Holding.objects.filter(LIVE, vessel__code="POT", account="materials").exists()


def test_formula_and_owner_go_along_to_the_gauged_gin():
    # 27 CFR 19.348(b), 5.193: gin by redistillation has a formula; it is not changed on the way
    world = make_world()
    put(world, "redistil", "NS", "N-1", wine="20", proof="38", owner="Inlet Spirits (invented)")
    charge(world, "NS", family="gin", type_code="", water="30 gal", formula="1")
    collect(world, "hearts", "23 gal", "160", into="RCV-2", at=f"{DAY} 13:00")
    world.record(
        "production-gauge", f"{DAY} 17:00", vessel="RCV-2", gauge=gauge("23 gal", "160"),
        account="processing", into="P-1", family="gin", distilled_at="160",
    )  # fmt: skip
    lot = Holding.objects.get(LIVE, vessel__code="P-1").lot
    assert (lot.formula, lot.owner) == ("1", "Inlet Spirits (invented)")
