"""The name under which a lot is bottled, against what the book knows of its past."""

from datetime import date
from decimal import Decimal

import pytest

from distillery.models import Product
from distillery.naming import age_question, entry_proof, naming_questions, past_of
from ledger.models import Lot
from tests.distillery.stock import put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = date(2026, 9, 15)
BOURBON = {"class_code": "whisky", "type_code": "bourbon", "state": "XX", "distilled_at": 1340}


def dumped(proof="118", cooperage="C"):
    """Bourbon filled at *proof* on 30 January and dumped on 14 September; its batch."""
    world = make_world()
    make_barrels(world.premises, "B-1", rated=10, cooperage=cooperage)
    strong = round(float(proof) / 5, 2)
    put(world, "storage", "S-1", "S", wine="20", proof=str(strong), **BOURBON)
    world.record("fill-barrels", "2026-01-30 09:00", vessel="S-1", alike="B-1", each="10 gal",
                 proof=proof, confirm=["name-entry-proof", "name-wood"])  # fmt: skip
    row = {"vessel": "B-1", "net": "60 lb", "proof": "116"}
    done = world.record("dump", "2026-09-14 09:00", vessels=[row], into="P-1")
    return done.entry.lots_opened.get()


def codes(lot, **changes):
    product = Product.objects.get(code="BOURBON-750")
    for name, value in changes.items():
        setattr(product, name, value)
    return [one.code for one in naming_questions(product, lot, DAY)]


def test_the_past_is_read_from_the_book():
    # 27 CFR 5.1; from 30 January to 14 September are 7 months and 15 days
    made = past_of(dumped(), DAY, bottled_proof=Decimal(92))
    assert (made.entry_proof, made.distilled_proof) == (Decimal(118), Decimal(134))
    assert (made.woods, made.new_oak) == (frozenset({"new"}), (0, 7, 15))


def test_bourbon_that_is_bourbon_is_not_asked_about():
    # 27 CFR 5.143(c)(2): 160, 125, charred new oak, 80
    assert codes(dumped()) == []


def test_what_entered_above_125_proof_is_asked_about():
    # 27 CFR 5.143(c)(2)
    assert codes(dumped(proof="126")) == ["name-entry-proof"]


def test_what_lay_in_used_wood_is_asked_about():
    # 27 CFR 5.143(c)(2): charred new oak
    assert codes(dumped(cooperage="R")) == ["name-wood"]


def test_what_never_was_in_wood_is_asked_about():
    world = make_world()
    put(world, "processing", "P-1", "B", wine="20", proof="23", stage="batch", **BOURBON)
    assert codes(Lot.objects.get(code="B")) == ["name-wood"]


def test_straight_needs_two_years():
    # 27 CFR 5.143(c)(5)
    assert codes(dumped(), type_code="straight bourbon") == ["name-age"]


def test_spirits_that_never_saw_a_barrel_have_no_entry_proof():
    world = make_world()
    put(world, "processing", "P-1", "B", wine="20", proof="38")
    assert entry_proof(Lot.objects.get(code="B")) is None


@pytest.mark.parametrize(
    ("stated", "expected"),
    [
        ("7 months", []), ("7 months 15 days old", []), ("8 months", ["age-overstated"]),
        ("1 year old", ["age-overstated"]), ("finished in casks", []), ("", []),
    ],
)  # fmt: skip
def test_an_age_may_be_understated_only(stated, expected):
    # 27 CFR 5.74(a)(2)
    product, lot = Product(family="whisky", type_code="bourbon"), dumped()
    assert [one.code for one in age_question(stated, product, lot, DAY)] == expected
