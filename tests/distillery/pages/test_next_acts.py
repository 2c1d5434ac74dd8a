"""The page of what was recorded leads on: every operation names what is usually done next.

Which act follows which: common practice, no source.
"""

import pytest

from distillery.follow_ups import AFTER, follow_ups
from distillery.models import Membership
from distillery.operations import operations
from distillery.pages.next_acts import next_acts
from ledger.models import Entry

IN_THE_BOOK = sorted(slug for slug, one in operations().items() if one.is_book)
MENDING = {"reverse", "correct"}  # they lead back to the entry that was mended


def test_every_act_of_the_book_names_what_follows_and_no_other():
    assert {key.split()[0] for key in AFTER} == set(IN_THE_BOOK)
    assert [slug for slug in IN_THE_BOOK if not AFTER[slug] and slug not in MENDING] == []
    assert {slug for named in AFTER.values() for slug in named.split()} <= set(operations())


def test_the_kind_of_vessel_decides_where_it_matters():
    assert follow_ups("clean-vessel", "still")[0] == "charge"
    assert follow_ups("clean-vessel", "tank") == follow_ups("clean-vessel")


def offered(world, number: int, *, by=None) -> list[tuple[str, str]]:
    member = Membership.objects.get(user=by or world.owner)
    return [(one.title, one.address) for one in next_acts(Entry.objects.get(number=number), member)]


@pytest.mark.django_db
def test_an_act_without_movements_leads_on_at_its_vessel(world):
    world.record("clean-vessel", "2026-01-06 09:00", vessel="FV-1",
                 steps=[{"what": "caustic"}], is_ready=True)  # fmt: skip
    assert offered(world, 2) == [("Mash", "/record/mash/?vessel=FV-1")]


@pytest.mark.django_db
def test_the_vessel_is_one_where_the_act_makes_sense_now(world):
    grains = [{"lot": "G-1", "quantity": "400 lb"}]
    world.record("mash", "2026-01-06 09:00", grains=grains, into="FV-1", wash="200 gal")
    world.record("move-wash", "2026-01-07 09:00", sources=[{"vessel": "FV-1"}], into="FV-2")
    assert offered(world, 3)[0] == ("Note a reading", "/record/ferment-reading/?vessel=FV-2")


@pytest.mark.django_db
def test_an_entry_taken_back_leads_to_recording_it_anew(world):
    world.record("reverse", "2026-01-05 10:00", entry="1", reason="mistaken")
    assert offered(world, 2) == [
        ("Receive a material anew", "/record/receive-material/"), ("See № 1", "/book/1/"),
    ]  # fmt: skip


@pytest.mark.django_db
def test_a_corrected_entry_is_looked_at(world):
    world.record("correct", "2026-01-05 10:00", entry="1", leg="1", amount="1,900 lb",
                 reason="misread")  # fmt: skip
    assert offered(world, 2) == [("See № 1", "/book/1/")]
