"""An act of each group recorded by hand and taken back by one tap: the plant is as before."""

import pytest
from playwright.sync_api import Page, expect

from ledger.models import Entry
from tests.browser.by_touch import Hand
from tests.browser.conftest import until
from tests.browser.rendered import bring
from tests.browser.taken_now import plausible
from tests.distillery.sequences.plant import begun
from tests.distillery.sequences.standing import standing
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
# Grain in, mash, still, storage, processing, bottling, removal, adjustment; a reading is undone
# in test_readings_voided.py.
ACTS = ("receive-material", "mash", "charge", "reduce", "dump", "bottle", "remove", "lose")


@pytest.fixture
def world(transactional_db) -> World:
    return begun()


def recorded(page: Page, world: World, slug: str) -> int:
    """The number of the entry, from a form filled by hand and shown whole."""
    hand = Hand(page, by_pad=False)
    fields = plausible(world, slug, 0)
    page.goto(f"/record/{slug}/")
    hand.fill(fields)
    hand.look_over()
    hand.answer()
    entry = Entry.objects.order_by("number").last()
    assert entry.operation == slug
    return entry.number


def test_an_act_of_each_group_is_taken_back_by_a_tap(world, browser_page):
    page = browser_page("tablet", user=world.owner)
    bring(page)
    for slug in ACTS:
        before = standing(world)
        number = recorded(page, world, slug)
        page.get_by_role("button", name=f"Undo № {number}").tap()
        expect(page.get_by_text(f"Undone by № {number + 1}.")).to_be_visible()
        assert Entry.objects.get(number=number + 1).reverses.number == number
        after = standing(world)
        assert {name: rows for name, rows in after.items() if rows != before[name]} == {}, slug
        # Nothing of it is left on the tablet either.
        until(page, "async () => (await Tablet.store.all()).length === 0")
