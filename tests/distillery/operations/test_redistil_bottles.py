"""Bottles dumped for redistillation: out of finished goods, received for the still."""

from datetime import date

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Lot
from ledger.verifying import verify
from reports.month_end import filings_of
from tests.distillery.stock import held, moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db
AT = "2026-04-10 09:00"
BOTTLES = {
    "stage": "bottled", "unit": "bottle", "class_code": "gin", "type_code": "distilled gin",
    "form": "bottled", "bottle_ml": 750, "per_case": 12, "label_proof": 900,
    "product": "GIN-750", "name": "Point gin",
}  # fmt: skip


@pytest.fixture
def world():
    """Ten cases of gin at 90 proof: 120 x 750 mL are 23.78 WG and 21.40 PG (19.582, 30.52)."""
    made = make_world()
    put(made, "finished", "STORE", "K", wine="23.78", proof="21.40", amount=120, **BOTTLES)
    return made


def dump(world, at=AT, **fields):
    rows = [{"lot": "K", "cases": 5}]
    return world.record("redistil-bottles", at, **{"bottles": rows, "into": "NS", **fields})


def gauge(volume, proof="90"):
    return {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}


def test_one_movement_is_line_37_and_line_15(world):
    # TTB F 5110.28 line 37 and 5110.40 line 15, column gin: half of 21.40 PG
    dump(world)
    assert moved("finished", "redistil", "redistil") == (0, 1189, 1070)
    assert moved("finished", "glass", "rework") == (60, 0, 0)
    found = filings_of(world.premises, date(2026, 4, 1))
    assert found.forms["processing", ""].value("II", "37", "b") == 1070
    assert found.forms["production", ""].value("I", "15", "g") == 1070
    assert [one.id for one in found.checks if not one.holds] == []
    assert verify(world.premises).faults == []


def test_it_is_bulk_of_the_same_kind_and_may_be_charged(world):
    done = dump(world)
    lot = Lot.objects.select_related("designation").get(code=f"M-{done.entry.number}")
    kind = lot.designation
    assert (lot.stage, lot.unit, lot.bottle_ml) == ("spirits", "pg", None)
    assert (kind.class_code, kind.form) == ("gin", "")
    world.record("charge", "2026-04-11 09:00", still="POT", family="gin", water="20 gal",
                 sources=[{"vessel": "NS"}])  # fmt: skip
    assert held("NS") == []


def test_the_gauge_finds_a_loss_before_the_still(world):
    # 27 CFR 19.283; 11.80 gal at 90 proof are 10.62 PG of 10.70
    dump(world, gauge=gauge("11.80"))
    assert moved("redistil", "loss", "rework") == (0, 9, 8)


def test_the_gauge_finds_a_gain_once_confirmed(world):
    with pytest.raises(Asked, match="gauge-gain"):
        dump(world, gauge=gauge("12.00"))
    dump(world, gauge=gauge("12.00"), confirm=["gauge-gain"])
    assert moved("gain", "redistil", "rework") == (0, 11, 10)


def test_what_stands_in_another_account_is_no_place_for_it(world):
    put(world, "processing", "NS", "P", wine="10", proof="9", class_code="gin")
    with pytest.raises(Refused, match="cannot be poured onto"):
        dump(world)


def test_more_bottles_than_there_are_is_asked(world):
    with pytest.raises((Asked, Refused), match="K"):
        dump(world, bottles=[{"lot": "K", "cases": 11}])


def test_a_record_dated_back_sees_the_stock_of_its_day(world):
    world.record(
        "remove", "2026-04-12 09:00", document="I-1", consignee="Estuary (invented)",
        initials="ad", rows=[{"lot": "K", "cases": 5}],
    )  # fmt: skip
    dump(world)
    assert held("STORE") == []
