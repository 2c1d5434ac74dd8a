"""Ten common acts by a hand on the tablet: taps and seconds, told and not asserted.

A tap takes a person 0.6 s and a key of the pad 0.25 s (our own reckoning of a gloved hand; no
source). Run with ``-m bench -s``; the figures count the server's own time too.
"""

from time import perf_counter

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.test_a_still_run import ago
from tests.browser.test_recording_by_touch import world  # noqa: F401
from tests.distillery.operations.bottling_line import supplies
from tests.distillery.operations.plant_floor import charge
from tests.distillery.operations.test_bottling import TANK
from tests.distillery.stock import put
from tests.world import World

pytestmark = [
    pytest.mark.browser, pytest.mark.bench, pytest.mark.django_db(transaction=True),
]  # fmt: skip
TAP_MS, KEY_MS = 600, 250


class Hand:
    """A person at the tablet who counts what they do."""

    def __init__(self, page: Page) -> None:
        self.page, self.taps, self.keys, self.told = page, 0, 0, []

    def tap(self, what: Locator) -> None:
        """Look, then touch."""
        self.page.wait_for_timeout(TAP_MS)
        what.tap()
        self.taps += 1

    def type(self, figures: str) -> None:
        """Figures on the pad."""
        pad = self.page.get_by_role("group", name="Number pad")
        for figure in figures:
            self.page.wait_for_timeout(KEY_MS)
            pad.get_by_role("button", name="Point" if figure == "." else figure, exact=True).tap()
            self.keys += 1

    def pad(self, words: str) -> None:
        """One of the pad's other keys."""
        self.page.wait_for_timeout(KEY_MS)
        self.page.get_by_role("group", name="Number pad").get_by_role(
            "button", name=words, exact=True
        ).tap()
        self.taps += 1

    def act(self, name: str, do) -> None:
        """Time one act from the floor to where it is taken."""
        self.taps = self.keys = 0
        start = perf_counter()
        do()
        took = perf_counter() - start
        self.told.append(f"{name:44} {self.taps:3} taps {self.keys:3} keys {took:6.1f} s")

    def button(self, name: str) -> Locator:
        """The last button of that name that can be seen."""
        return self.page.locator("button:visible").filter(has_text=name).last

    def taken(self) -> None:
        """Through the cards and the check page to the page of what was recorded."""
        while self.page.locator(".step-next:visible").count():
            self.tap(self.page.locator(".step-next"))
        self.tap(self.button("Look it over"))
        expect(self.page.get_by_role("heading", level=1)).to_contain_text("look it over")
        for one in self.page.locator("main").get_by_role("checkbox").all():
            self.tap(one)
        self.tap(self.button("Record it"))
        expect(self.page.get_by_text("Likely next")).to_be_visible()


class Acts(Hand):
    """The ten acts, each from the floor unless it goes on from the one before."""

    def floor(self) -> None:
        """Back to the floor."""
        self.page.goto("/")
        expect(self.page.get_by_role("heading", name="Floor")).to_be_visible()

    def reading(self) -> None:
        """Gravity and temperature of FV-1."""
        self.tap(self.page.locator(".hands li").filter(has_text="FV-1").get_by_role("link"))
        expect(self.page.get_by_role("group", name="Number pad")).to_be_visible()
        self.type("1.012")
        self.pad("Next")
        self.type("84")
        self.pad("Record it")
        expect(self.page.get_by_text("Reading of FV-1 kept")).to_be_visible()

    def round_of_two(self) -> None:
        """Both fermenters."""
        self.tap(self.page.get_by_role("link", name="Readings"))
        expect(self.page.get_by_role("group", name="Number pad")).to_be_visible()
        self.type("1.010")
        self.tap(self.page.locator("input[name=FV-1-gravity]"))
        self.type("1.009")
        self.pad("Keep the readings")
        expect(self.page.get_by_text("Kept:")).to_be_visible()

    def barrel(self) -> None:
        """One more barrel by its gross weight."""
        self.type("165.5")
        self.pad("Add this barrel")
        expect(self.page.locator(".totals")).to_contain_text("2 barrels")

    def first_barrel(self) -> None:
        """From the floor to the first barrel in the row."""
        self.tap(self.page.locator("svg.plan:visible a").filter(has_text="S-1"))
        self.tap(self.page.get_by_role("link", name="Fill barrels").first)
        self.tap(self.page.get_by_role("link", name="One barrel at a time"))
        expect(self.page.get_by_role("group", name="Number pad")).to_be_visible()
        self.type("165")
        self.pad("Add this barrel")
        expect(self.page.locator(".totals")).to_contain_text("1 barrel")

    def row_recorded(self) -> None:
        """The row, looked over and recorded."""
        self.tap(
            self.page.get_by_role("group", name="Number pad").get_by_role("button", name="Close")
        )
        self.tap(self.page.get_by_role("button", name="Look the row over"))
        expect(self.page.get_by_role("heading", level=1)).to_contain_text("look it over")
        for one in self.page.locator("main").get_by_role("checkbox").all():
            self.tap(one)
        self.tap(self.button("Record it"))
        expect(self.page.get_by_text("Likely next")).to_be_visible()

    def receive(self) -> None:
        """Corn into BIN-2."""
        self.tap(self.page.locator("svg.plan:visible a").filter(has_text="BIN-2"))
        self.tap(self.page.get_by_role("link", name="Receive a material").first)
        self.page.wait_for_timeout(TAP_MS)
        self.page.get_by_label("Material").select_option("CORN")
        self.page.locator("#id_quantity").press_sequentially("1000 lb", delay=KEY_MS)
        self.page.locator("#id_supplier").press_sequentially("Dune", delay=KEY_MS)
        self.taken()

    def undo(self) -> None:
        """What was recorded just now."""
        self.tap(self.page.get_by_role("button", name="Undo"))
        expect(self.page.get_by_text("Undone by")).to_be_visible()

    def check(self) -> None:
        """One bottle by its volume."""
        self.tap(self.page.locator("svg.plan:visible a").filter(has_text="BT-1"))
        self.tap(self.page.get_by_role("link", name="Check bottles").first)
        self.tap(self.page.locator("#id_fills-0-volume"))
        self.type("750")
        self.pad("Record it")
        expect(self.page.get_by_role("heading", level=1)).to_contain_text("BT-1")
        if self.page.get_by_role("checkbox").count():
            for one in self.page.locator("main").get_by_role("checkbox").all():
                self.tap(one)
            self.tap(self.button("Record it"))
        expect(self.page.get_by_text("tested.")).to_be_visible()

    def bottles(self) -> None:
        """Ten cases."""
        self.tap(self.page.locator("svg.plan:visible a").filter(has_text="BT-1"))
        self.tap(self.page.get_by_role("link", name="Bottle", exact=True).first)
        self.tap(self.page.locator("#id_cases"))
        self.type("10")
        self.pad("Close")
        self.page.get_by_label("Put into").or_(self.page.locator("#id_store")).first.select_option(
            "STORE"
        )
        self.taken()

    def still(self) -> None:
        """Head, hydrometer and its temperature."""
        self.tap(self.page.get_by_role("link", name="Watch the run").first)
        expect(self.page.get_by_role("group", name="Number pad")).to_be_visible()
        for figures in ("172.5", "131", "66"):
            self.type(figures)
            self.pad("Next" if figures != "66" else "Note it")
        expect(self.page.get_by_text("Noted.")).to_be_visible()


@pytest.fixture
def busy(world) -> World:  # noqa: F811
    """Also a run on the still, gin at label proof, bottles and cases."""
    supplies(world, bottle=600)
    put(world, "processing", "BT-1", "B-GIN", wine="103.56", proof="93.20", class_code="gin",
        type_code="distilled gin", stage="batch", name="Point gin")  # fmt: skip
    world.record("open-bottling", "2026-03-21 08:00", vessel="BT-1", product="GIN-750", gauge=TANK)
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    charge(world, "NS", family="gin", type_code="", water="30 gal", lot="RUN-1", at=ago(50))
    put(world, "finished", "STORE", "K-1", wine="4.76", proof="4.28", amount=24, stage="bottled",
        unit="bottle", form="bottled", class_code="gin", name="Point gin", bottle_ml=750,
        per_case=12, label_proof=900)  # fmt: skip
    return world


def test_ten_acts(busy, browser_page, capsys):
    page = browser_page("tablet", user=busy.owner)
    hand = Acts(page)
    page.goto("/")
    for name, do in (
        ("Ferment reading, gravity and temperature", hand.reading),
        ("Two fermenters on one card", hand.round_of_two),
        ("First barrel of a fill, from the floor", hand.first_barrel),
        ("One barrel of a started fill", hand.barrel),
        ("The row looked over and recorded", hand.row_recorded),
        ("Corn received", hand.receive),
        ("Undo", hand.undo),
        ("Bottle check of one bottle", hand.check),
        ("Ten cases bottled", hand.bottles),
        ("Still reading, three figures", hand.still),
    ):
        if do not in (hand.barrel, hand.row_recorded, hand.undo):
            hand.floor()
        hand.act(name, do)
    with capsys.disabled():
        print("\n" + "\n".join(hand.told))
