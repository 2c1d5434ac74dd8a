"""The rule of shares on small cases, each worked out by hand here; no source gives such a rule.

27 CFR 19.585(a)(3) asks only that spirits can be traced back to the mash.
"""

import pytest

from ledger.models import Lot
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.shares import Fresh, LotWords, Pair, weigh
from ledger.tracing import trace
from tests.ledger.raw import make_plant, post


def lot(pk, stage, unit="pg", product=""):
    return LotWords(pk, f"L{pk}", stage, unit, stage, product)


def parts(child, *pairs, mashed=0, distilled=0, backset=()):
    found = weigh(child, pairs, Fresh(mashed, distilled), frozenset(backset))
    return [f"{part:.4f}" for part in found.parts], found.inflow


def test_grain_is_weighed_against_grain_and_grams_against_grams():
    corn, rye = lot(1, "material", "lb"), lot(2, "material", "lb")
    yeast, enzyme = lot(3, "material", "g"), lot(4, "material", "g")
    found = parts(
        lot(9, "wash", "gal"),
        Pair(corn, 65000, 0, 0), Pair(rye, 35000, 0, 0),
        Pair(yeast, 30000, 0, 0), Pair(enzyme, 10000, 0, 0), mashed=50000,
    )  # fmt: skip
    # 650 of 1,000 lb; 300 of 400 g.
    assert found == (["0.6500", "0.3500", "0.7500", "0.2500"], 50000)


def test_a_mash_on_a_heel_is_divided_by_gallons_and_backset_has_its_part_of_the_new():
    corn, heel, backset = lot(1, "material", "lb"), lot(2, "wash", "gal"), lot(3, "material", "gal")
    found = parts(
        lot(9, "wash", "gal"),
        Pair(corn, 70000, 0, 0), Pair(heel, 0, 10000, 0), Pair(backset, 10000, 0, 0),
        mashed=40000, backset=[3],
    )  # fmt: skip
    # 100 gal of heel and 400 new; of the new 100 gal, a quarter, were backset.
    assert found == (["0.6000", "0.2000", "0.2000"], 50000)


def test_a_run_of_wash_and_feints_is_divided_by_what_was_newly_distilled():
    one, other, feints = lot(1, "wash", "gal"), lot(2, "wash", "gal"), lot(3, "fraction")
    run = lot(9, "run")
    pairs = (Pair(one, 0, 30000, 0), Pair(other, 0, 10000, 0), Pair(feints, 0, 2000, 1000))
    # 10 PG of feints, 40 PG new from 300 and 100 gal.
    assert parts(run, *pairs, distilled=4000) == (["0.6000", "0.2000", "0.2000"], 5000)
    # Nothing distilled yet: nobody measured the wash.
    assert parts(run, *pairs) == (["0.0000", "0.0000", "1.0000"], 1000)
    # Wash alone needs no such figure.
    assert parts(run, *pairs[:2]) == (["0.7500", "0.2500"], 0)


def test_a_basket_counts_beside_the_spirits():
    base, juniper, peel = lot(1, "spirits"), lot(2, "material", "g"), lot(3, "material", "g")
    found = parts(
        lot(9, "run"),
        Pair(base, 0, 5263, 10000), Pair(juniper, 90000, 0, 0), Pair(peel, 10000, 0, 0),
    )  # fmt: skip
    assert found == (["1.0000", "0.9000", "0.1000"], 10000)


def test_blends_go_by_proof_gallons_and_packing_kind_by_kind():
    one, other = lot(1, "batch"), lot(2, "batch")
    cork, label = lot(3, "material", "each", "CORK"), lot(4, "material", "each", "LABEL")
    old_cork = lot(5, "material", "each", "CORK")
    found = parts(
        lot(9, "bottled", "bottle"),
        Pair(one, 0, 5000, 3000), Pair(other, 0, 1000, 1000),
        Pair(cork, 90, 0, 0), Pair(old_cork, 10, 0, 0), Pair(label, 100, 0, 0),
    )  # fmt: skip
    assert found == (["0.7500", "0.2500", "0.9000", "0.1000", "1.0000"], 4000)


def test_no_part_is_below_nothing_after_a_correction():
    one, other = lot(1, "batch"), lot(2, "batch")
    found = parts(lot(9, "batch"), Pair(one, 0, -100, -100), Pair(other, 0, 500, 400))
    assert found == (["0.0000", "1.0000"], 400)


def material(code, pounds):
    new = NewLot(code, "material", "lb", code)
    leg = Leg(Place("supplier", code), Place("materials", code, "BIN"), "receive", pounds)
    return Plan((leg,), (new,))


def mash(code, gallons, **grains):
    to = Place("fermenting", code, "FV")
    legs = [
        Leg(Place("materials", grain, "BIN"), Place("mashed", code), "mash", pounds)
        for grain, pounds in grains.items()
    ]
    legs.append(Leg(Place("mashed", code), to, "mash", 0, gallons))
    return Plan(tuple(legs), (NewLot(code, "wash", "gal", code),))


def charge(run, wash, gallons, *feints):
    to = Place("production", run, "STILL")
    legs = [Leg(Place("fermenting", wash, "FV"), to, "charge", 0, gallons)]
    legs += [
        Leg(Place("production", code, vessel), to, "charge", 0, wine, proof)
        for code, vessel, wine, proof in feints
    ]
    return Plan(tuple(legs), (NewLot(run, "run", "pg", run, class_code="whisky"),))


def collect(run, code, vessel, *, known=0, new=0):
    """A fraction of *known* proof gallons that the run held, and *new* ones only now distilled."""
    to = Place("production", code, vessel)
    legs = []
    if known:
        legs.append(Leg(Place("production", run, "STILL"), to, "cut", 0, known, known))
    legs.append(Leg(Place("distilled", run), to, "collect", 0, new, new))
    return Plan(tuple(legs), (NewLot(code, "fraction", "pg", code, class_code="whisky"),))


def two_rounds(premises):
    """Wash 1 makes 40 PG of hearts and 10 of feints; those go round with wash 2 to 50 of hearts."""
    plans = [
        material("CORN", 200000), material("RYE", 30000), material("RYE2", 30000),
        mash("W1", 50000, CORN=70000, RYE=30000), mash("W2", 50000, CORN=70000, RYE2=30000),
        charge("R1", "W1", 50000),
        collect("R1", "H1", "T-1", new=4000), collect("R1", "F1", "T-2", new=1000),
        charge("R2", "W2", 50000, ("F1", "T-2", 1000, 1000)),
        collect("R2", "H2", "P-1", known=1000, new=4000),
    ]  # fmt: skip
    for number, plan in enumerate(plans):
        post(premises, f"k{number}", plan)


def figures(code, way):
    found = trace(Lot.objects.get(code=code), way)
    return {one.lot.code: (f"{one.share:.4f}", one.quantity) for one in found.kin}


@pytest.mark.django_db
def test_feints_that_go_round_are_traced_with_their_part():
    two_rounds(make_plant())
    # By hand: 10 of the 50 PG are feints, so W2 is 0.8; R1 gave 50 PG, a fifth of it to F1.
    assert figures("H2", "back") == {
        "R2": ("1.0000", 5000), "W2": ("0.8000", 50000),
        "F1": ("0.2000", 1000), "R1": ("0.2000", 1000), "W1": ("0.2000", 10000),
        "CORN": ("0.7000", 84000),  # 700 lb, and a fifth of 700
        "RYE2": ("0.2400", 30000), "RYE": ("0.0600", 6000),
    }  # fmt: skip
    # 0.2 of the 50 PG of the second run came from the rye of the first by way of the feints.
    forward = figures("RYE", "forward")
    assert forward["H1"] == ("0.3000", 1200)
    assert forward["F1"] == ("0.3000", 300)
    assert forward["R2"] == forward["H2"] == ("0.0600", 300)
    assert "W2" not in forward


@pytest.mark.django_db
def test_the_older_lot_is_never_told_as_coming_from_the_younger():
    two_rounds(make_plant())
    assert figures("H1", "back").keys() == {"R1", "W1", "CORN", "RYE"}
    assert figures("H1", "forward") == {}
