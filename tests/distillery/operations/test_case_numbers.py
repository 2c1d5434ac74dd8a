"""Case numbers: one series a plant, or one by letters; never a number twice in its million."""

import pytest

from distillery.case_serials import loose_left, next_serials
from distillery.models import CaseSerials, Product
from distillery.recording import Asked, Refused
from ledger.models import Entry
from tests.distillery.operations.bottling_line import bottle, opened
from tests.distillery.operations.test_bottling import put
from tests.world import make_world

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    return make_world()


def vodka_opened(world):
    """Vodka from the same bottling tank, after the gin is done."""
    world.record("close-bottling", "2026-03-21 18:00", vessel="BT-1", confirm=["large-loss"])
    put_at = {"class_code": "spirits_190", "type_code": "", "code": "B-9", "proof": 8285}
    put(world, **put_at)
    gauge = {"volume": "103.56 gal", "temperature": "60 F", "proof": "80"}
    world.record(
        "open-bottling", "2026-03-22 08:00", vessel="BT-1", product="VODKA-750", gauge=gauge
    )


def test_two_products_share_the_plants_series(world):
    # 27 CFR 19.490: one series, unless TTB was told of others.
    opened(world)
    bottle(world, cases=3)
    vodka_opened(world)
    assert bottle(world, "2026-03-22 16:00", cases=2).entry.document == "4–5"


def test_a_brand_has_a_series_of_its_own_by_its_letters(world):
    # 27 CFR 19.490: separate series by brand or size, with letters before or after the number.
    Product.objects.filter(code="VODKA-750").update(case_series="V")
    opened(world)
    bottle(world, cases=3)
    vodka_opened(world)
    done = bottle(world, "2026-03-22 16:00", cases=2, loose=3)
    assert done.entry.document == "V1–V2, V2R"


def test_the_series_begins_again_after_a_million(world):
    # 27 CFR 19.490: 1 to 1,000,000.
    opened(world)
    done = bottle(world, cases=1, first_case=999_999)
    assert done.entry.document == "999999"
    assert bottle(world, "2026-03-21 16:30", cases=3).entry.document == "1000000–2"
    assert bottle(world, "2026-03-21 17:00", cases=1, first_case=10).entry.document == "10"
    with pytest.raises(Refused, match="used before"):
        bottle(world, "2026-03-21 17:10", cases=1, first_case=10)


def test_there_is_no_case_above_a_million(world):
    opened(world)
    with pytest.raises(Refused, match="1 to 1,000,000"):
        bottle(world, cases=1, first_case=1_000_001)


def test_a_remnant_is_completed_later_and_its_bottles_count_once(world):
    # 27 CFR 19.359: loose bottles of a remnant may finish a later case.
    opened(world)
    bottle(world, cases=2, loose=5)
    gin = Product.objects.get(code="GIN-750")
    assert loose_left(gin) == 5
    done = bottle(world, "2026-03-22 16:00", cases=1, from_loose=5)
    assert done.entry.document == "3"
    assert loose_left(gin) == 0


def test_more_loose_bottles_than_were_left_is_asked_about(world):
    opened(world)
    bottle(world, cases=2, loose=5)
    with pytest.raises(Asked, match="more-loose"):
        bottle(world, "2026-03-22 16:00", cases=1, from_loose=6)


def test_a_remnant_mark_is_not_put_on_another_lot_unasked(world):
    # 27 CFR 19.490: the remnant bears the last full case's number and R.
    opened(world)
    bottle(world, cases=2, loose=5)
    vodka_opened(world)
    with pytest.raises(Asked, match="remnant-twice"):
        bottle(world, "2026-03-22 16:00", loose=3)


def test_a_bottling_left_open_overnight_goes_on_in_the_next_month(world):
    # 27 CFR 19.357: a tank not finished the same day; each day's bottles in their own month.
    opened(world, "2026-03-31 08:00")
    first = bottle(world, "2026-03-31 16:00", cases=20)
    second = bottle(world, "2026-04-01 11:00", cases=23, loose=5)
    months = [f"{one.entry.period.month:%Y-%m}" for one in (first, second)]
    assert months == ["2026-03", "2026-04"]
    assert second.entry.document == "21–43, 43R"
    assert Entry.objects.get(number=second.entry.number).lots_opened.count() == 0


def test_numbers_are_not_used_again_after_a_reversal(world):
    opened(world)
    done = bottle(world, cases=2, loose=1)
    world.record("reverse", "2026-03-21 17:00", entry=done.entry.number, reason="miscounted")
    assert str(next_serials(world.premises, "", cases=2)) == "3–4"
    assert loose_left(Product.objects.get(code="GIN-750")) == 0
    assert CaseSerials.objects.count() == 1
