"""The worked year of ``test_lifecycle`` traced from bottle to grain and from grain to bottle.

Every figure is worked out by hand here from that example's own figures: 1,900 lb in two mashes of
500 gal, 150.0 PG gauged, 141.6 PG in twelve barrels of 11.8, four dumped at 43.5, and 236 bottles
of 750 mL at 92 proof, 236 × 0.75 × 0.264172 × 0.92 = 43.02 PG (27 CFR 19.582, 30.52).
"""

from decimal import Decimal

import pytest

from distillery.models import CaseSerials
from distillery.tracing.finding import choices_for
from distillery.tracing.story import Story
from ledger.models import Lot
from tests.test_lifecycle import live_year, make_lifecycle

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    world = make_lifecycle()
    live_year(world, 10)
    return world


def story(code):
    return Story(Lot.objects.get(code=code))


def told(kin):
    return {one.lot.code: (f"{one.share:.4f}", one.quantity) for one in kin}


def test_a_bottle_of_bourbon_goes_back_to_its_grain(world):
    found = told(story("BBN").sources)
    part = Decimal(4302) / 15000  # of the run, of each wash and of the grain in them
    grains = {"CORN": (650, 13), "RYE": (200, 4), "MALT": (100, 2)}
    for code, (pounds, of_19) in grains.items():
        pounds_used = round(2 * pounds * 100 * part)
        assert found[code] == (f"{Decimal(of_19) / 19:.4f}", pounds_used)
    assert grains.keys() == {
        code for code in found if Lot.objects.get(code=code).stage == "material"
    }
    assert found["26A30"] == ("1.0000", 4302)
    washes = [figures for code, figures in found.items() if code.startswith("W-")]
    assert washes == [("0.5000", 14340)] * 2  # 500 gal × 0.2868


def test_the_corn_goes_forward_to_every_place_its_spirits_went(world):
    corn = story("CORN")
    share = Decimal(13) / 19
    assert all(abs(one.share - share) < Decimal("1E-9") for one in corn.descendants)
    (shipped,) = [
        (one.ending.account, one.ending.proof_gallons, one.consignee.name, one.lot.code)
        for one in corn.removals
    ]
    assert shipped == ("other_plant", 2360, "Skerry (invented)", "26A30")
    assert corn.removals[0].traced_proof_gallons == 1615  # 23.60 × 13/19
    here = {}
    for one in corn.standing:
        if one.lot.stage != "material":
            here[one.lot.code] = here.get(one.lot.code, 0) + one.standing.proof_gallons
    # Six barrels of 11.8; 7.03 gal at 118 in the tank; 236 bottles.
    assert here == {"26A30": 7080, "BBN": 4302, tank(world): 830}
    cases = CaseSerials.objects.get(product__code="BOURBON-750")
    assert cases.last - cases.first + 1 == 39
    marked = f"{cases.first}–{cases.last}, {cases.last}R"
    assert corn.serials == {Lot.objects.get(code="BBN").pk: marked}
    lost = {}
    for one in corn.spent:
        if one.ending.account == "loss":
            purpose = one.ending.entry.operation
            lost[purpose] = lost.get(purpose, 0) + one.ending.proof_gallons
    # Barrels 47.2 less 43.5 regauged; tank gauge 43.2 of 43.5; 43.02 bottled of 43.2.
    assert lost["dump"] == 370
    assert sum(lost.values()) == 15000 - 2360 - 7080 - 4302 - 830


def tank(world):
    """The lot that was gauged in January and is left in the tank."""
    return Lot.objects.get(holdings__vessel__code="S-1", holdings__proof_gallons=830).code


def test_a_case_of_gin_goes_back_to_the_spirits_received_and_on_to_who_has_it(world):
    (case,) = choices_for(world.premises, "gin-750 17")
    assert case.kind == "case"
    gin = Story(case.lot)
    (received,) = [one for one in gin.sources if one.lot.pk not in gin.made]
    assert received.share == 1
    assert gin.origins[received.lot.pk].producer.startswith("Skerry")
    removed = [
        (one.ending.entry.document, one.consignee.name, one.ending.account, one.ending.amount)
        for one in gin.removals
    ]
    assert removed == [
        ("501", "A shop (invented)", "tax_determined", 360),
        ("502", "A shop (invented)", "tax_determined", 12),
        ("", "A laboratory (invented)", "research", 1),
        ("503", "A shop (invented)", "tax_determined", 120),
    ]
    assert [(one.ending.account, one.ending.amount) for one in gin.spent] == [("shortage", 1)]
    assert [(one.standing.vessel, one.standing.amount) for one in gin.standing] == [("STORE", 27)]


@pytest.mark.parametrize("code", ["GIN-750 43R", "gin-750:43", "Point gin 5", "GIN", "gin"])
def test_the_words_on_case_and_bottle_lead_to_the_lot(world, code):
    assert [one.lot.code for one in choices_for(world.premises, code)] == ["GIN"]


def test_a_barrel_leads_to_what_it_holds_or_held_last(world):
    (full,) = choices_for(world.premises, "L-7")
    (dumped,) = choices_for(world.premises, "l-1")
    assert (full.lot.code, dumped.lot.code) == ("26A30", "26A30")
    assert "holds" in full.told
    assert "empty now" in dumped.told
