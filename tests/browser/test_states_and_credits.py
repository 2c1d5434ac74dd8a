"""The pages of State excise and of the credit for wine and flavor content, by hand and by eye."""

import pytest
from playwright.sync_api import expect

from distillery.models import DatedSetting
from ledger.models import Lot
from reports.batch_content import Contents
from reports.kept_rates import by_batch, keep
from reports.models import EligibleContent
from reports.rates import GENERAL
from tests.browser.test_a_record_by_hand import SIZES, fit
from tests.reports.liqueurs import mixed, remove
from tests.reports.months import MARCH
from tests.reports.state_removals import send, stocked
from tests.world import make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def sent():
    """Removals to two States, and one that names none."""
    world = stocked()
    send(world, "501", "CA", rows=[{"lot": "K-1", "cases": 2}, {"lot": "K-2", "cases": 1}])
    send(world, "502", "Oregon", rows=[{"lot": "K-1", "cases": 1}])
    send(world, "503", "", rows=[{"lot": "K-1", "cases": 1}])
    return world


@pytest.fixture
def credited():
    """A liqueur removed with a kept rate, the rule switched on."""
    world = make_world()
    remove(mixed(world), "2026-03-20 10:00", "501", "K-1", 120)
    for lot in ("W-14", "W-19", "VAN-1"):
        EligibleContent.objects.create(
            premises=world.premises, lot=lot, why="approval (invented)", marked_by="ada"
        )
    worked = by_batch(Contents(world.premises).of(Lot.objects.get(code="K-1")), GENERAL)
    keep(world.premises, "batch", worked, effective=MARCH, by="ada", lot="K-1")
    DatedSetting.objects.create(
        premises=world.premises, name="content_credit", value="batch", effective=MARCH
    )
    return world


@SIZES
def test_the_pages_of_state_excise_fit(sent, browser_page, axe, size):
    page = browser_page(size, user=sent.owner)
    for path in ("", "2026-03/", "2026-Q1/", "2026-03/CA/file/"):
        assert page.goto(f"/filings/states/{path}").status == 200
        fit(page, axe)


@SIZES
def test_the_pages_of_the_credit_fit(credited, browser_page, axe, size):
    page = browser_page(size, user=credited.owner)
    for path in ("credits/", "credits/mark/", "credits/standard/", "2026-03/tax/"):
        assert page.goto(f"/filings/{path}").status == 200
        fit(page, axe)


def test_a_states_worksheet_is_filed_by_hand(sent, browser_page):
    page = browser_page("tablet", user=sent.owner)
    page.goto("/filings/states/2026-03/")
    page.get_by_role("link", name="Mark California as filed").click()
    page.get_by_label("Filed on").fill("2026-04-15")
    page.get_by_label("How").select_option("portal")
    page.get_by_role("button", name="Mark as filed").click()
    expect(page.locator("main")).to_contain_text("California filed 15 Apr 2026")
