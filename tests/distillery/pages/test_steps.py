"""Long forms in cards: none holds one small box alone while something comes after it."""

import pytest

from distillery.operations import operations
from distillery.pages.offers import Offers
from distillery.pages.sheet import Sheet
from distillery.pages.steps import LAST, steps_of

pytestmark = pytest.mark.django_db
SMALL = ("list", "quantity", "line", "tick")


def test_no_card_but_the_last_holds_one_small_box(world):
    offers = Offers(world.premises)
    seen = 0
    for slug, operation in operations().items():
        boxes = Sheet(operation.form(premises=world.premises), offers).boxes
        steps = steps_of(boxes)
        assert [box for step in steps for box in step.boxes] == boxes, slug
        own = [step for step in steps if step.boxes[0].name not in LAST]
        seen += len(own) > 1
        for step in own[:-1]:
            assert len(step.boxes) > 1 or step.boxes[0].kind not in SMALL, (slug, step.title)
    assert seen > 10
