"""What holds on every page, at every size: light, dark, in forced colours, at 200 %."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from distillery.operations import operations
from tests.browser.conftest import SIZES
from tests.browser.every_page import full_world, opened, pages
from tests.browser.rendered import bring, looked_over
from tests.world import make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SEND = """() => {
  const form = document.getElementById('sheet')
  const step = document.createElement('input')
  step.name = 'step'
  step.value = form.querySelector('button[name=step]').value
  form.append(step)
  form.submit()
}"""


@pytest.mark.parametrize("size", list(SIZES))
def test_every_page_holds(transactional_db, browser_page, axe, console_errors, size):
    """By keys where a page is widest and narrowest; scanned by axe in between."""
    world = full_world()
    page = browser_page(size, user=world.owner)
    bring(page)
    lines = []
    for path in pages(world.owner):
        opened(page, path)
        lines += looked_over(page, console_errors, by_keys=size != "upright")
        lines += [f"{path} axe: {one}" for one in (axe(page) if size == "upright" else [])]
    assert lines == []


def test_a_new_plant_holds_as_well(transactional_db, browser_page, axe, console_errors):
    world = make_world()
    page = browser_page("phone", user=world.owner)
    bring(page)
    lines = []
    for path in pages(world.owner, is_full=False):
        # Its forms are those of the full plant.
        if not path.startswith("/record/"):
            opened(page, path)
            lines += looked_over(page, console_errors, by_keys=False)
            lines += [f"{path} axe: {one}" for one in axe(page)]
    assert lines == []


def test_a_refused_form_holds_as_well(transactional_db, browser_page, axe, console_errors):
    world = full_world()
    page = browser_page("phone", user=world.owner)
    bring(page)
    lines, through = [], []
    for slug in operations():
        page.goto(reverse("record-operation", args=[slug]))
        # As the browser itself would send it, without the tablet's own way.
        with page.expect_navigation():
            page.evaluate(SEND)
        answer = page.locator(".problem, form[data-preview]").first
        expect(answer).to_be_visible()
        if answer.get_attribute("class") != "problem":
            through.append(slug)
        lines += looked_over(page, console_errors, by_keys=False)
        lines += [f"{slug} axe: {one}" for one in axe(page)]
    assert lines == []
    # Few are filled in from what the plant holds, so that nothing is lacking.
    assert len(through) * 10 < len(operations()), through
