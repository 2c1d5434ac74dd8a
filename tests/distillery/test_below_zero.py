"""A reversal booked late in the open month must not leave a figure below zero unasked.

No figure of the three forms is negative (their official help).
"""

from datetime import date

import pytest

from distillery.recording import Asked
from reports.month_end import close_month
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = pytest.mark.django_db
TAKE_BACK = {"entry": "2", "reason": "not spilt"}


@pytest.fixture
def world():
    """January closed: 10 of 100 gal of 190 proof were spilt in it, entry 2."""
    world = make_world()
    put(world, "storage", "S-1", "N", wine="100", proof="190")
    world.record("lose", "2026-01-10 10:00", vessel="S-1", cause="spill", volume="10 gal")
    close_month(world.premises, date(2026, 1, 1), by="ada")
    world.premises.refresh_from_db()
    return world


def test_it_is_asked_and_amending_is_offered(world):
    with pytest.raises(Asked) as asked:
        world.record("reverse", "2026-02-10 10:00", late="open", **TAKE_BACK)
    (question,) = asked.value.plan.questions
    assert question.code == "below-zero"
    assert "Amend the closed month instead" in question.text


def test_amending_is_not_asked_about(world):
    assert world.record("reverse", "2026-02-10 10:00", late="amend", **TAKE_BACK).is_new


def test_where_as_much_went_that_way_it_is_not_asked(world):
    world.record("lose", "2026-02-05 10:00", vessel="S-1", cause="spill", volume="12 gal")
    assert world.record("reverse", "2026-02-10 10:00", late="open", **TAKE_BACK).is_new


def test_what_happened_can_be_recorded_all_the_same(world):
    done = world.record("reverse", "2026-02-10 10:00", late="open", confirm=["below-zero"],
                        **TAKE_BACK)  # fmt: skip
    assert done.is_new
