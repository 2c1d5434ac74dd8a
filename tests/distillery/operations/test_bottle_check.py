"""The filler before the run and the bottles during it: what is found, kept and asked."""

from decimal import Decimal

import pytest

from distillery.fill_picture import Picture, chance_of, pictured
from distillery.models import BottleCheck, BottlingRun, FoundFill, Product
from distillery.recording import Asked, Refused, prepare, preview
from ledger.models import Entry
from tests.distillery.operations.bottling_line import DAY, opened
from tests.world import make_world

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    world = make_world()
    opened(world)
    return world


def check(world, at=f"{DAY} 10:00", fills=("750 mL",), **more):
    rows = [{"volume": fill} for fill in fills]
    return world.record("bottle-check", at, vessel="BT-1", fills=rows, **more)


def lines(world, **more):
    data = {"operation": "bottle-check", "at": f"{DAY} 12:00", "key": "look", "vessel": "BT-1"}
    return preview(prepare({**data, **more}, premises=world.premises, user=world.owner)).lines


def test_a_check_is_kept_with_its_bottles_and_moves_nothing(world):
    # 27 CFR 19.600: date and time, tank, bottling record, line, size, number tested, label and
    # found alcohol, per cent of full fill, corrective action.
    before = Entry.objects.count()
    check(world, fills=("748 mL", "751 mL"), proof="45.1 %", line="1", tested=3)
    assert Entry.objects.count() == before
    row = BottleCheck.objects.get()
    assert (row.run.serial, row.line, row.bottle_ml, row.tested) == ("BR-2", "1", 750, 3)
    assert (row.label_proof, row.found_proof, row.is_within) == (90, Decimal("90.20"), True)
    assert [one.fill_ml for one in row.fills.all()] == [748, 751]


def test_the_same_key_is_kept_once(world):
    first = check(world, key="one")
    again = check(world, key="one")
    assert (first.is_new, again.is_new, BottleCheck.objects.count()) == (True, False, 1)
    with pytest.raises(Refused, match="used for another test"):
        check(world, key="one", fills=("749 mL",))


def test_a_weight_counts_at_the_label_strength(world):
    # 750 mL of 90 proof weigh 706.1 g in air (OIML R 22 density, Table 5 of 27 CFR 30.65).
    rows = [{"gross": "1186.1 g", "tare": "480 g"}]
    world.record("bottle-check", f"{DAY} 10:00", vessel="BT-1", fills=rows)
    assert abs(FoundFill.objects.get().fill_ml - 750) < Decimal("0.1")


def test_the_products_empty_bottle_serves_where_none_was_weighed(world):
    rows = [{"gross": "1186.1 g"}]
    with pytest.raises(Refused, match="weight of the empty bottle"):
        world.record("bottle-check", f"{DAY} 10:00", vessel="BT-1", fills=rows)
    Product.objects.filter(code="GIN-750").update(tare_g="480")
    world.record("bottle-check", f"{DAY} 10:00", vessel="BT-1", fills=rows)
    assert FoundFill.objects.get().tare_g == 480


def test_a_warm_volume_is_brought_to_60(world):
    # Table 7 (27 CFR 30.67), about 0.9968 at 90 proof and 68 F: 752.4 mL are 750 at 60 F.
    check(world, fills=("752.4 mL",), temperature="68 F")
    assert abs(FoundFill.objects.get().fill_ml - 750) < Decimal("0.3")


@pytest.mark.parametrize(
    ("found", "is_within"),
    [
        ({"fills": ("735 mL", "765 mL")}, True),  # 27 CFR 19.356(b): 2 % of 750 mL, edges in
        ({"fills": ("734.9 mL", "750 mL")}, False),
        ({"fills": (), "proof": "44.7 %"}, True),  # 27 CFR 19.356(c): 0.3 either way
        ({"fills": (), "proof": "45.4 %"}, False),
    ],
)
def test_the_band_edges_decide(world, found, is_within):
    check(world, **found, corrective_action="set the filler")
    assert BottleCheck.objects.get().is_within is is_within


def test_out_of_tolerance_without_a_correction_is_asked_once_and_kept(world):
    with pytest.raises(Asked, match="no-corrective-action"):
        check(world, fills=("730 mL",))
    check(world, fills=("730 mL",), confirm=["no-corrective-action"])
    check(world, f"{DAY} 10:30", fills=("731 mL",), corrective_action="stopped, nozzle 2 cleaned")
    assert list(BottleCheck.objects.values_list("is_within", flat=True)) == [False, False]


def test_nothing_found_is_refused(world):
    with pytest.raises(Refused, match="fill or the alcohol"):
        check(world, fills=())


def test_no_bottling_no_check(world):
    with pytest.raises(Refused, match=r"No bottling was open in BT-1"):
        check(world, f"{DAY} 07:00")


def test_a_check_noted_late_lies_at_its_own_time(world):
    check(world, f"{DAY} 12:00")
    check(world, f"{DAY} 10:00", fills=("749 mL",))
    first = BottleCheck.objects.order_by("at").first()
    assert first.fills.get().fill_ml == 749


def test_the_preview_tells_mean_spread_and_drift(world):
    check(world, f"{DAY} 10:00", fills=("749 mL", "751 mL"))
    check(world, f"{DAY} 11:00", fills=("750 mL", "752 mL"))
    told = " ".join(lines(world, fills=[{"volume": "751 mL"}, {"volume": "753 mL"}]))
    # Mean 751; sample deviation of 749..753 in pairs a step apart sqrt(10/5) = 1.41; 1 mL an hour
    assert "mean 751.00 mL, spread 1.41 mL, drift +1.00 mL an hour" in told
    assert "4 over and 1 under 750 mL, about even" in told


def test_overs_and_unders_that_chance_does_not_explain(world):
    # Sign test: six of six on one side come by chance in 2 of 64 lots, five of five in 2 of 32.
    assert (chance_of(6, 0), chance_of(5, 0)) == (2 / 64, 2 / 32)
    check(world, fills=("752 mL",) * 6)
    assert not pictured(BottlingRun.objects.get()).is_even


def test_an_empty_picture_tells_nothing():
    empty = Picture(750, ())
    assert (empty.mean, empty.spread, empty.drift, empty.is_even) == (None, None, None, True)


def test_the_filler_is_calibrated_before_a_bottling_is_open(world):
    fills = [{"volume": "744 mL"}, {"volume": "746 mL"}]
    facts = {"vessel": "BT-1", "fills": fills, "adjustment": "raised the spouts 2 mm"}
    with pytest.raises(Refused, match="Name the product"):
        world.record("calibrate-filler", f"{DAY} 07:30", **facts)
    world.record("calibrate-filler", f"{DAY} 07:30", product="GIN-750", **facts)
    row = BottleCheck.objects.get()
    assert (row.kind, row.run, row.is_within) == ("calibration", None, None)
    assert (row.action, row.tested) == ("raised the spouts 2 mm", 2)


def test_a_calibration_during_the_run_belongs_to_it_but_not_to_its_picture(world):
    fills = [{"volume": "744 mL"}]
    world.record("calibrate-filler", f"{DAY} 11:00", vessel="BT-1", fills=fills)
    run = BottlingRun.objects.get()
    assert (BottleCheck.objects.get().run, pictured(run).points) == (run, ())
