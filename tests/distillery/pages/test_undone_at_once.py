"""Each act that posts an entry is undone from the page of what was recorded, within its minute."""

import re

import pytest
from django.test import Client

from distillery.operations import operations
from distillery.recording import Done
from tests.browser.taken_now import plausible, this_minute
from tests.distillery.sequences.plant import begun
from tests.distillery.sequences.playing import Sequence, rolled_back
from tests.distillery.sequences.standing import standing
from tests.world import World

pytestmark = pytest.mark.django_db
BOOK = {slug: one.group for slug, one in operations().items() if one.is_book}
# What cannot be undone so, and why.
CANNOT = {
    "reverse": "taking back is not taken back: the act is recorded anew",
    "cancel-invoice": "it takes a removal back, and the removal is recorded anew",
}


def recorded(world: World, slug: str) -> tuple[Done, dict]:
    """The act as a person records it now, and what stood before it."""
    fields = plausible(world, slug, 0)
    before = standing(world)
    data = {"operation": slug, "at": this_minute(world), "key": f"undo-{slug}", **fields}
    done = Sequence(world).confirmed(slug, data)
    assert done, slug
    return done, before


def undo(world: World, number: int) -> str:
    """What the page says once its button was pressed."""
    client = Client()
    client.force_login(world.owner)
    return client.post(f"/book/{number}/done/", follow=True).content.decode()


def what_is_left(world: World, slug: str) -> list[str]:
    """What is not as it was once the act is recorded and undone."""
    done, before = recorded(world, slug)
    number = done.entry.number
    said = undo(world, number)
    if f"Undone by № {number + 1}." not in said:
        return re.findall(r"The minute is over|Not undone[^<]*", said)
    after = standing(world)
    return [f"{name}: {rows} for {before[name]}" for name, rows in after.items()
            if rows != before[name]]  # fmt: skip


@pytest.mark.parametrize("group", sorted(set(BOOK.values())))
def test_it_is_undone_and_the_plant_is_as_before(group):
    world, left = begun(), {}
    for slug in sorted(one for one in BOOK if BOOK[one] == group):
        with rolled_back():
            if found := what_is_left(world, slug):
                left[slug] = found
    assert {slug for slug in left if slug not in CANNOT} == set(), left
    assert {slug for slug in CANNOT if BOOK[slug] == group} <= set(left)
