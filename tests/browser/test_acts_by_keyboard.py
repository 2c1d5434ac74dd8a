"""Whole acts by keys alone, from the floor to what was recorded (WCAG 2.2, 2.1.1)."""

import pytest
from playwright.sync_api import Locator, Page, expect

from distillery.models import Reading
from ledger.models import Entry
from tests.browser.test_recording_by_touch import world  # noqa: F401
from tests.browser.test_timed_acts import busy  # noqa: F401

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
MOST = 150  # stops of the longest page
HAS_FOCUS = "one => one === document.activeElement"


class Keys:
    """A person with no finger on the glass and no mouse."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.main = page.locator("main")

    def press(self, key: str) -> None:
        """One key."""
        self.page.keyboard.press(key)

    def to(self, what: Locator) -> None:
        """Tab until *what* has the focus, and can be seen to."""
        expect(what).to_be_visible()
        for _ in range(MOST):
            if what.evaluate(HAS_FOCUS):
                expect(what).to_be_in_viewport()
                return
            self.press("Tab")
        raise AssertionError(f"Tab never comes to {what}")

    def enter(self, what: Locator, heading: str) -> None:
        """Enter on a link or a button that leads to the page of *heading*."""
        self.to(what)
        self.press("Enter")
        self.heading(heading)

    def heading(self, words: str) -> None:
        """The page is there, and its scripts have run."""
        expect(self.page.get_by_role("heading", level=1)).to_contain_text(words)
        self.page.wait_for_load_state()

    def type(self, box: Locator, text: str) -> None:
        """Into one box, in place of what stands in it."""
        self.to(box)
        self.press("Control+a")
        self.page.keyboard.type(text)
        expect(box).to_have_value(text)

    def link(self, name: str) -> Locator:
        """A link of the page by its words."""
        return self.main.get_by_role("link", name=name, exact=True).first

    def floor(self) -> None:
        """Home, by the door at the top."""
        self.enter(self.page.get_by_role("link", name="Floor", exact=True), "Floor")

    def vessel(self, code: str) -> None:
        """A vessel on the plan of the plant."""
        spot = self.page.locator(f"svg.plan:visible a[href='/vessels/{code}/']")
        self.enter(spot, code)

    def recorded(self) -> None:
        """On the check page: every tick by Space, and the act by Enter."""
        self.heading("look it over")
        for one in self.main.get_by_role("checkbox").all():
            self.to(one)
            self.press("Space")
            expect(one).to_be_checked()
        self.to(self.page.get_by_role("button", name="Record it"))
        self.press("Enter")
        expect(self.page.get_by_text("Likely next")).to_be_visible()
        self.page.wait_for_load_state()


def ferment_reading(keys: Keys) -> None:
    """What needs a hand, the figure, Enter."""
    hand = keys.page.locator(".hands li").filter(has_text="FV-1").get_by_role("link").first
    keys.enter(hand, "Note a reading")
    keys.type(keys.page.locator("#id_gravity"), "1.019")
    keys.press("Enter")
    expect(keys.page.get_by_text("Reading of FV-1 kept: SG 1.0190")).to_be_visible()
    assert Reading.objects.filter(vessel__code="FV-1", gravity="1.019").count() == 1


def barrel_fill(keys: Keys) -> None:
    """One barrel of a row by its weight."""
    keys.vessel("S-1")
    keys.enter(keys.link("Fill barrels"), "Fill barrels")
    keys.enter(keys.link("One barrel at a time"), "Fill")
    keys.type(keys.page.get_by_label("Gross weight", exact=True), "165.5")
    keys.press("Enter")
    expect(keys.page.locator(".totals")).to_contain_text("1 barrel")
    keys.page.wait_for_load_state()
    keys.to(keys.page.get_by_role("button", name="Look the row over"))
    keys.press("Space")
    keys.recorded()
    entry = Entry.objects.order_by("number").last()
    assert entry.movements.filter(purpose="fill", to_vessel__code="B-101").count() == 1


def still_reading(keys: Keys) -> None:
    """On the run's page, with the fold opened by Space."""
    keys.enter(keys.link("Watch the run"), "Run RUN-1")
    fold = keys.page.get_by_text("Condenser, flow, receiver, cut, note, another time")
    keys.to(fold)
    keys.press("Space")
    expect(keys.page.locator("#id_note")).to_be_visible()
    keys.type(keys.page.locator("#id_note"), "clear")
    keys.page.keyboard.press("Shift+Tab")
    keys.type(keys.page.locator("#id_temperature"), "172.5")
    keys.press("Enter")
    expect(keys.page.get_by_text("Noted.")).to_be_visible()
    row = Reading.objects.filter(vessel__code="POT").latest("pk")
    assert row.still_reading is not None


def bottling(keys: Keys) -> None:
    """Ten cases, card by card: Enter goes on, and looks it over at the last."""
    keys.vessel("BT-1")
    keys.enter(keys.link("Bottle"), "Bottle")
    keys.type(keys.page.locator("#id_cases"), "10")
    keys.to(keys.page.locator("#id_store"))
    keys.page.keyboard.type("STORE")
    expect(keys.page.locator("#id_store")).to_have_value("STORE")
    going = keys.page.locator(".step-next")
    while going.is_visible():
        keys.to(going)
        keys.press("Enter")
        expect(keys.page.locator(".step-place")).to_be_focused()
    keys.to(keys.page.get_by_role("button", name="Look it over").last)
    keys.press("Enter")
    keys.recorded()
    assert Entry.objects.order_by("number").last().operation == "bottle"


def test_acts_from_the_floor_by_keys(busy, browser_page):  # noqa: F811
    page = browser_page("tablet", user=busy.owner)
    keys = Keys(page)
    page.goto("/")
    for act in (ferment_reading, barrel_fill, still_reading, bottling):
        act(keys)
        keys.floor()


def test_escape_puts_the_pad_away_and_leaves_the_box(busy, browser_page):  # noqa: F811
    page = browser_page("tablet", user=busy.owner)
    page.goto("/record/ferment-reading/?vessel=FV-1")
    page.locator("#id_gravity").tap()
    pad = page.get_by_role("group", name="Number pad")
    expect(pad).to_be_visible()
    page.keyboard.press("Escape")
    expect(pad).to_be_hidden()
    expect(page.locator("#id_gravity")).to_be_focused()
    page.keyboard.type("1.018")
    expect(page.locator("#id_gravity")).to_have_value("1.018")
