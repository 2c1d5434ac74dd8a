"""Each way into a gauge with the law's own figures, and each refusal's sentence."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from distillery.forms import GaugeField
from distillery.forms.gauge import GaugePart
from distillery.models import Instrument, StrappingTable
from distillery.recording import Refused
from tests.distillery.stock import put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
D = Decimal
MEASURED = {"temperature": "72 F", "proof": "86.8"}
WEIGHED = {"net": "100 lb"}


@pytest.fixture
def world():
    world = make_world()
    tank = world.premises.vessels.get(code="S-1")
    table = StrappingTable.objects.create(
        vessel=tank, effective=date(2026, 1, 1), source="certificate 7"
    )
    table.rows.create(depth_in=D(100), volume_gal=D(4896))
    return world


@pytest.fixture
def gauge(world):
    def gauged(step="0.1", purpose="bulk", **values):
        field = GaugeField(step=step, purpose=purpose)
        field.premises, field.moment = world.premises, world.when("2026-03-01 12:00")
        return field.clean(values)

    return gauged


@pytest.fixture
def refusal(gauge):
    def refused(**values):
        with pytest.raises(ValidationError) as caught:
            gauge(**values)
        return " ".join(caught.value.messages)

    return refused


def make_instrument(world, code, kind, *corrections, low=0, high=206, tested=date(2026, 1, 10)):
    instrument = Instrument.objects.create(
        premises=world.premises, code=code, kind=kind, low=low, high=high, last_tested=tested
    )
    for at, add in corrections:
        instrument.corrections.create(at=D(at), add=D(add))
    return instrument


@pytest.mark.parametrize(
    "way",
    [
        {"tank": "S-1", "dip": "88"}, {"tank": "S-1", "sight": "2235.2 mm"},
        {"meter_start": "1,000 gal", "meter_end": "5,308.48 gal"}, {"volume": "4308.48"},
    ],
)  # fmt: skip
def test_a_tank_or_a_meter_follows_the_example_of_the_law(gauge, way):
    # 27 CFR 30.51: 88 in x 48.96 = 4308.48; x 0.995 = 4286.94; x 0.868 = 3721.1 proof gallons.
    found = gauge(**way, **MEASURED)
    assert (found.wine_gallons, found.proof_gallons) == (D("4286.94"), D("3721.1"))


def test_a_dip_tells_its_strapping_on_the_slip(gauge):
    found = gauge(tank="S-1", dip="40 3/8", **MEASURED)
    # 40.375 in x 48.96 gallons an inch, as in 27 CFR 30.51.
    assert found.steps[0].startswith("Dip: 40.375 in in S-1 is 1976.76 gallons (")
    assert "certificate 7" in found.steps[0]
    assert found.readings[0] == ("Dip", "40.375 in")


def test_a_depth_that_cannot_be_is_a_sentence(refusal):
    assert "Name the tank" in refusal(dip="88", **MEASURED)
    assert "above the strapping" in refusal(tank="S-1", dip="101", **MEASURED)
    assert "no strapping" in refusal(tank="S-2", dip="10", **MEASURED)
    assert "like 40.5 or 40 3/8" in refusal(tank="S-1", dip="deep", **MEASURED)
    assert "temperature of the liquid" in refusal(tank="S-1", dip="8", proof="80")


def test_a_meter_that_runs_backward_is_a_sentence(refusal):
    assert "read at the start" in refusal(meter_end="5 gal", **MEASURED)
    told = refusal(meter_start="9 gal", meter_end="5 gal", **MEASURED)
    assert "ends below where it began" in told


def test_full_cases_are_gauged_by_their_label(gauge):
    # 27 CFR 19.286, 19.582, 30.52: 30 x 12 x 0.75 L x 0.264172 x 90 / 100 = 64.19.
    found = gauge("0.01", product="GIN-750", cases="30", label=True)
    assert (found.method, found.proof, found.proof_gallons) == ("cases", D("90.0"), D("64.19"))
    beside = gauge("0.01", product="GIN-750", cases="29", loose_bottles="12", label=True)
    assert beside.proof_gallons == found.proof_gallons


def test_cases_need_a_product_and_nobody_at_them(refusal):
    assert "27 CFR 19.286" in refusal(product="GIN-750", cases="30")
    assert "Name the product" in refusal(cases="30", label=True)


def test_two_ways_are_one_too_many(refusal):
    assert "Give either a volume" in refusal(volume="5 gal", tank="S-1", dip="8", **MEASURED)
    assert "Give either the proof" in refusal(**WEIGHED, proof="80", carried=True)


def test_certificates_correct_what_was_read(world, gauge):
    # 27 CFR 30.23: 192.85 at 72.10 F, corrections -0.03 and +0.05, is 190.0 proof.
    make_instrument(world, "H-1", "hydrometer", ("190", "-0.03"))
    make_instrument(world, "TH-1", "thermometer", ("70", "0.05"))
    read = {"reading": "192.85", "reading_temperature": "72.10 F"}
    found = gauge(**WEIGHED, **read, hydrometer="H-1", thermometer="TH-1")
    assert found.proof == D("190.0")
    assert found.steps[0].startswith("H-1 read 192.85 proof; its correction there is -0.03")
    assert not [step for step in found.steps if step.startswith("Look: ")]


def test_a_fault_marks_a_gauge_and_stops_one_for_tax(world, gauge, refusal):
    make_instrument(world, "H-9", "hydrometer", tested=date(2024, 1, 10))
    read = {**WEIGHED, "reading": "150", "reading_temperature": "60 F", "hydrometer": "H-9"}
    # A year between tests of a hydrometer: common practice, no source.
    assert gauge(**read).steps[-1].startswith("Look: The test of H-9 was due by 10 Jan 2025")
    assert "A gauge for tax needs instruments without a fault" in refusal(purpose="tax", **read)
    kept = gauge(purpose="tax", **read, override="the other one broke")
    assert kept.steps[-1] == "Used all the same: the other one broke"


def test_a_density_meter_gives_the_proof(world, gauge, refusal):
    # 27 CFR 30.11: absolute alcohol has a specific gravity of 0.7939 at 60/60 F; water at 60 F
    # weighs 999.01 kg/m3 (OIML R 22).
    assert gauge(**WEIGHED, density="0.79311 g/cm3", density_at="60 F").proof == D("200.0")
    # OIML R 22, table of 20 C: 50 % by volume is 930.14 kg/m3 (from memory).
    warm = gauge(**WEIGHED, density="930.14", density_at="20 C")
    assert abs(warm.proof - 100) <= D("0.2")
    # Corrected by 0.00014 g/cm3 the same liquid was read as 0.93.
    meter = {"low": D("0.7"), "high": D("1.1")}
    make_instrument(world, "DM-1", "density_meter", ("0.9", "0.00014"), **meter)
    read = {"density": "0.93", "density_at": "20 C", "density_meter": "DM-1"}
    assert gauge(**WEIGHED, **read).proof == warm.proof
    assert "60 °F or 20 °C" in refusal(**WEIGHED, density="0.93")
    assert "No mixture of water" in refusal(**WEIGHED, density="1.05", density_at="60 F")
    assert "No spirits weigh" in refusal(**WEIGHED, density="0.79", density_at="60 F")
    assert "like 0.92345 g/cm3" in refusal(**WEIGHED, density="12", density_at="60 F")


def test_an_earlier_proof_is_carried_where_the_law_lets_it(world, gauge, refusal):
    # 27 CFR 19.285, and not for 19.353 (bottling tank) or 19.226 (tax).
    put(world, "storage", "S-1", "N-1", wine="100", proof="190")
    found = gauge(tank="S-1", carried=True, **WEIGHED)
    assert found.proof == D("190.0")
    assert found.steps[0].startswith("Carried: 190 proof, as the book has it in S-1")
    told = {"tank": "S-1", "carried": True, **WEIGHED}
    assert "27 CFR 19.226" in refusal(purpose="tax", **told)
    assert "27 CFR 19.353" in refusal(purpose="bottling", **told)
    assert "no one proof to carry" in refusal(**{**told, "tank": "S-2"})
    assert "whose proof is carried" in refusal(carried=True, **WEIGHED)


def test_solids_ask_for_what_the_law_asks(gauge, refusal):
    read = {**WEIGHED, "reading": "90", "reading_temperature": "60 F"}
    # 27 CFR 30.31, 30.71: to 400 mg it may be added, to 600 it must, above the sample is distilled.
    assert gauge(**read, solids="400").proof == D("90.0")
    assert "above 400" in refusal(**read, solids="450")
    # 27 CFR 30.32(b): 0.50 g in 100 mL hide 2.0 degrees.
    assert gauge(**read, solids="500", obscuration="2.0").proof == D("92.0")
    assert "above 600" in refusal(**read, solids="700", obscuration="2.0")
    # 27 CFR 30.32(c): obscuration is the restored distillate's proof less the apparent proof.
    hidden = gauge(**read, solids="700", restored="93.1")
    assert (hidden.proof, hidden.readings[-1]) == (D("93.1"), ("Obscuration", "3.1"))
    assert hidden.wine_gallons == gauge(**read, obscuration="3.1").wine_gallons


def test_a_restored_distillate_stands_beside_what_was_read(gauge, refusal):
    assert "Read the spirits as they are" in refusal(**WEIGHED, proof="93", restored="93.1")
    read = {**WEIGHED, "reading": "90", "reading_temperature": "60 F", "restored": "89"}
    assert "is weaker than the 90.0" in refusal(**read)
    assert "Leave this empty" in refusal(**read, obscuration="1")
    dense = {**WEIGHED, "density": "0.93", "density_at": "60 F"}
    apparent = gauge(**dense).proof
    assert gauge(**dense, restored=str(apparent + 2)).proof == apparent + 2


def test_a_package_is_weighed_or_the_record_says_why(world, gauge, refusal):
    # 27 CFR 19.284(a)
    assert "27 CFR 19.284(a)" in refusal(purpose="package", volume="53 gal", **MEASURED)
    told = gauge(purpose="package", volume="53 gal", **MEASURED, why_not_weighed="scale away")
    assert told.steps[-1] == "Not weighed (27 CFR 19.284): scale away"


def test_a_barrel_shipped_is_weighed(world):
    make_barrels(world.premises, "B-1")
    put(world, "storage", "B-1", "L-1", wine="53", proof="63.6")
    row = {"vessel": "B-1", "volume": "52 gal", "temperature": "60 F", "proof": "120"}
    fields = {"consignee": "Dune (invented)", "registry": "DSP-XX-1"}
    with pytest.raises(Refused, match=r"27 CFR 19\.284\(a\)"):
        world.record("ship-in-bond", "2026-03-01 12:00", vessels=[row], **fields)
    row["why_not_weighed"] = "the scale is away for its test"
    assert world.record("ship-in-bond", "2026-03-01 12:00", vessels=[row], **fields).is_new


def test_tax_and_bottling_gauges_find_their_own_proof(world):
    put(world, "processing", "BT-1", "B-7", wine="100", proof="90")
    gauge = {"tank": "BT-1", "carried": True, "net": "700 lb"}
    with pytest.raises(Refused, match=r"27 CFR 19\.353"):
        world.record(
            "open-bottling", "2026-03-01 12:00", vessel="BT-1", product="GIN-750", gauge=gauge
        )
    with pytest.raises(Refused, match=r"27 CFR 19\.226"):
        world.record(
            "remove", "2026-03-01 12:00", vessel="BT-1", document="7", gauge=gauge,
            consignee="Harbor (invented)",
        )  # fmt: skip


def heavy(**changes):
    """A liqueur heavier than water, by weight."""
    return {"net": "1000 lb", "gravity": "1.05", "restored": "60", **changes}


def test_liquor_heavier_than_water_goes_by_weight_and_gravity():
    """27 CFR 30.41(b): pounds × 0.120074 ÷ specific gravity, × the true proof."""
    part = GaugePart(heavy())
    assert part.is_valid(), part.errors
    found = part.gauge("0.01")
    # 1,000 × 0.120074 ÷ 1.05 = 114.3562 gallons, × 0.60 (worked by hand from the rule)
    assert (found.wine_gallons, found.proof_gallons) == (Decimal("114.36"), Decimal("68.62"))


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"restored": ""}, "restored", "true proof"),
        ({"net": "", "volume": "100 gal", "temperature": "60 F"}, "gravity", "by weight"),
        ({"proof": "60"}, "__all__", "Give either the proof"),
    ],
)
def test_what_heavy_liquor_lacks_is_told(changes, field, says):
    part = GaugePart(heavy(**changes))
    assert not part.is_valid()
    assert any(says in text for text in part.errors[field])


@pytest.mark.parametrize(
    ("typed", "field", "says"),
    [
        ({"volume": "10 gal", "temperature": "140 F", "proof": "90"}, "temperature", "0 to 100"),
        ({"net": "70 lb", "reading": "90", "reading_temperature": "-5 F"},
         "reading_temperature", "0 to 100"),
        ({"gross": "50 lb", "tare": "60 lb", "proof": "90"}, "tare", "swap the two"),
    ],
)  # fmt: skip
def test_what_no_table_or_scale_can_show_is_told_beside_its_box(typed, field, says):
    part = GaugePart(typed)
    assert not part.is_valid()
    assert any(says in text for text in part.errors[field])
