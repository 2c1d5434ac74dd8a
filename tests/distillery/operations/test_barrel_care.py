"""Empty barrels as things: they come, are cared for, moved, sold; the plant's list follows."""

import pytest

from distillery.barrel_life import code_on
from distillery.models import Barrel, BarrelAct
from distillery.recording import Asked, Refused
from ledger.models import Vessel
from tests.distillery.stock import held, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    return make_world()


def receive(world, at="2026-01-05 09:00", **more):
    told = {
        "barrels": "B-1..B-3", "cooper": "Dune Cooperage (invented)", "rated": "15 gal",
        "cooperage": "C", "tare": "50 lb", "place": "Rack 1",
    }  # fmt: skip
    fields = {name: value for name, value in (told | more).items() if value is not None}
    return world.record("receive-barrels", at, **fields)


def care(world, done, at="2026-01-10 09:00", barrels="B-1", **more):
    return world.record("barrel-care", at, barrels=barrels, done=done, **more)


def barrel(code="B-1"):
    return Barrel.objects.select_related("vessel__sheet").get(vessel__code=code)


def test_barrels_come_with_cooper_size_weight_and_place(world):
    receive(world, weights=[{"code": "B-2", "tare": "51.5 lb"}])
    one = barrel()
    assert (one.cooper, one.rated_gal, one.tare_lb) == ("Dune Cooperage (invented)", 15, 50)
    assert (one.vessel.sheet.room, one.was_filled_before) == ("Rack 1", False)
    assert barrel("B-2").tare_lb == 51.5


def test_used_barrels_tell_what_they_held(world):
    # 27 CFR 19.618: R, reused; never new wood again (27 CFR 5.143)
    receive(world, cooperage="R", held_before="oloroso sherry")
    assert (barrel().held_before, barrel().was_filled_before) == ("oloroso sherry", True)


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"barrels": "FV-1"}, "barrels"),
        ({"weights": [{"code": "X-9", "tare": "50 lb"}]}, "weights"),
        ({"rated": "2000 gal"}, "rated"),
        ({"tare": "6000 lb"}, "tare"),
        ({"cooper": None}, "cooper"),
    ],
)
def test_what_cannot_come_is_refused(world, more, field):
    with pytest.raises(Refused) as refused:
        receive(world, **more)
    assert list(refused.value.errors) == [field]
    assert not Barrel.objects.exists()


def test_barrels_on_the_list_already_may_come_by_the_record(world):
    make_barrels(world.premises, "B-2", rated=10)
    with pytest.raises(Asked, match="barrel-listed"):
        receive(world)
    receive(world, confirm=["barrel-listed"])
    assert (barrel("B-2").rated_gal, barrel("B-2").cooper) == (15, "Dune Cooperage (invented)")


def test_a_barrel_that_was_filled_does_not_come_again(world):
    make_barrels(world.premises, "B-2", rated=10)
    put(world, "storage", "B-2", "L", wine="10", proof="11")
    with pytest.raises(Refused, match="already a vessel “B-2”"):
        receive(world)


def test_recorded_rightly_instead_they_stay_on_the_list(world):
    done = receive(world)
    receive(world, cooper="Spit Cooperage (invented)", instead_of=done.entry.number,
            reason="another cooper", confirm=["barrel-listed"])  # fmt: skip
    assert (barrel().cooper, barrel().is_gone) == ("Spit Cooperage (invented)", False)


def test_taken_back_they_leave_the_list(world):
    done = receive(world)
    world.record("reverse", "2026-01-06 09:00", entry=done.entry.number, reason="not delivered")
    assert not Vessel.objects.filter(code="B-1").exists()
    receive(world, at="2026-01-07 09:00")
    assert Vessel.objects.filter(code="B-1").exists()


def test_a_barrel_in_use_stays_when_its_coming_is_taken_back(world):
    done = receive(world)
    care(world, "swelled", hours="24 hours")
    world.record("reverse", "2026-01-11 09:00", entry=done.entry.number, reason="wrong invoice")
    assert barrel("B-1").is_gone
    assert not Vessel.objects.filter(code="B-2").exists()


def test_the_cooperage_code_follows_what_was_done(world):
    # 27 CFR 19.618: C charred, R reused, REC recharred, PS steamed or soaked before filling
    receive(world)
    day = world.when
    assert code_on(barrel(), day("2026-01-09 09:00")) == "C"
    care(world, "prepared")
    assert code_on(barrel(), day("2026-01-11 09:00")) == "C PS"
    put(world, "storage", "B-1", "L", wine="15", proof="17", at="2026-01-12 09:00")
    row = {"vessel": "B-1", "net": "100 lb", "proof": "115"}
    world.record("dump", "2026-06-01 09:00", vessels=[row], into="P-1", family="spirits",
                 distilled_at="190", confirm=["gauge-gain"])  # fmt: skip
    assert code_on(barrel(), day("2026-06-02 09:00")) == "R"
    care(world, "recharred", at="2026-06-03 09:00")
    assert code_on(barrel(), day("2026-06-04 09:00")) == "REC"
    assert code_on(barrel(), day("2026-01-09 09:00")) == "C"


def test_an_empty_weight_goes_on_the_list(world):
    receive(world)
    care(world, "weighed", tare="53.5 lb")
    assert barrel().tare_lb == 53.5
    care(world, "weighed", at="2026-01-08 09:00", tare="52 lb")
    assert barrel().tare_lb == 53.5  # the older weighing came later into the book


def test_a_weighing_has_its_weight(world):
    receive(world)
    with pytest.raises(Refused) as refused:
        care(world, "weighed")
    assert list(refused.value.errors) == ["tare"]


def test_what_is_sold_is_gone_till_it_is_back(world):
    receive(world)
    care(world, "sold", whom="A brewery (invented)")
    assert (barrel().is_gone, barrel("B-2").is_gone) == (True, False)
    with pytest.raises(Asked, match="barrel-gone"):
        world.record("move-barrels", "2026-02-01 09:00", barrels="B-1", place="Yard")
    care(world, "back", at="2026-02-02 09:00")
    assert not barrel().is_gone


def test_a_sale_taken_back_brings_it_back(world):
    make_barrels(world.premises, "B-1")
    done = care(world, "sold")
    world.record("reverse", "2026-01-11 09:00", entry=done.entry.number, reason="not sold")
    assert not barrel().is_gone


def test_what_the_owner_set_by_hand_stays(world):
    make_barrels(world.premises, "B-1")
    Barrel.objects.update(is_gone=True)
    care(world, "repaired", confirm=["barrel-gone"])
    assert barrel().is_gone


def test_a_full_barrel_is_not_recharred_unasked(world):
    receive(world)
    put(world, "storage", "B-1", "L", wine="15", proof="17", at="2026-01-07 09:00")
    with pytest.raises(Asked, match="barrel-not-empty"):
        care(world, "recharred")


def test_a_move_leaves_the_book_alone(world):
    make_barrels(world.premises, "B-1", "B-2")
    put(world, "storage", "B-1", "L", wine="15", proof="17")
    done = world.record("move-barrels", "2026-02-01 09:00", barrels="B-1..B-2", place="Rack 3")
    assert (done.plan.legs, held("B-1")) == ((), [("storage", "L", 1500, 1700)])
    assert barrel("B-2").vessel.sheet.room == "Rack 3"


def test_a_move_dated_back_leaves_the_newer_place(world):
    make_barrels(world.premises, "B-1")
    world.record("move-barrels", "2026-02-01 09:00", barrels="B-1", place="Rack 3")
    done = world.record("move-barrels", "2026-01-15 09:00", barrels="B-1", place="Rack 2")
    assert barrel().vessel.sheet.room == "Rack 3"
    world.record("reverse", "2026-02-02 09:00", entry=done.entry.number, reason="not so")
    assert BarrelAct.objects.get(place="Rack 2").is_void


def test_a_move_taken_back_gives_the_place_before(world):
    make_barrels(world.premises, "B-1")
    world.record("move-barrels", "2026-01-15 09:00", barrels="B-1", place="Rack 2")
    done = world.record("move-barrels", "2026-02-01 09:00", barrels="B-1", place="Rack 3")
    world.record("reverse", "2026-02-02 09:00", entry=done.entry.number, reason="not so")
    assert barrel().vessel.sheet.room == "Rack 2"


def test_no_place_and_no_barrel_are_refused(world):
    with pytest.raises(Refused) as refused:
        world.record("move-barrels", "2026-02-01 09:00", barrels="B-77", place="")
    assert set(refused.value.errors) == {"barrels", "place"}


def test_sent_twice_it_is_one_record(world):
    # the key a sender made answers with the first entry
    done = receive(world, key="same")
    assert receive(world, key="same").entry == done.entry
