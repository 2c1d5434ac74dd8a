"""The set-up pages in a browser: nothing the strict content policy blocks, nothing hard to use."""

import pytest
from playwright.sync_api import expect

from ledger.models import Vessel
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SIZES = pytest.mark.parametrize("size", ["tablet", "phone"])


@pytest.fixture
def owner():
    world = make_world()
    world.owner.is_staff = True
    world.owner.save()
    put(world, "storage", "S-1", "N-1", wine="10", proof="19")
    return world.owner


def addresses():
    tank = Vessel.objects.get(code="S-1").pk
    paths = (
        "", "ledger/vessel/", "ledger/vessel/barrels/", f"ledger/vessel/{tank}/change/",
        "ledger/vessel/add/", "ledger/movement/", "auth/user/add/", "distillery/product/add/",
    )  # fmt: skip
    return [f"/plant/admin/{path}" for path in paths]


@SIZES
def test_the_content_policy_blocks_nothing(browser_page, owner, size):
    page = browser_page(size, user=owner)
    for address in addresses():
        page.goto(address)
        expect(page.locator("#content")).to_be_visible()


@SIZES
def test_a_scan_finds_nothing_serious(browser_page, axe, owner, console_errors, size):
    page = browser_page(size, user=owner)
    found: list[str] = []
    for address in addresses():
        page.goto(address)
        assert console_errors == []
        found += [f"{address}: {one}" for one in axe(page)]
        # To read style sheets that import others the scan adds a style of its own, which our
        # policy blocks; that is told of the scan, not of the page.
        console_errors.clear()
    assert found == []
