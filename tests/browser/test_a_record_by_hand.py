"""From the log-in to a recorded act and back again, as a person at a tablet or a phone does it."""

from collections.abc import Iterable
from datetime import date

import pytest
from playwright.sync_api import Page, expect

from ledger.closing import close
from ledger.models import Entry
from tests.world import make_barrels, make_person, make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SIZES = pytest.mark.parametrize("size", ["tablet", "phone"])

# What can be touched and is lower than 44 CSS pixels (WCAG 2.2, success criterion 2.5.5); a
# tick counts with the label around it.
TOO_SMALL = """[...document.querySelectorAll('a,button,input,select,textarea,summary')]
  .filter(one => !one.closest('.visually-hidden, .skip, label'))
  .filter(one => { const box = one.getBoundingClientRect();
                   return box.width && box.height && box.height < 44 })
  .map(one => one.outerHTML.slice(0, 90))"""
OVERFLOW = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.fixture
def world():
    world = make_world()
    make_barrels(world.premises, *(f"B-{n}" for n in range(1, 9)))
    return world


def fit(page: Page, axe) -> None:
    """Nothing to scroll sideways, nothing too small to touch, nothing a scan finds serious."""
    page.wait_for_load_state()  # a page half loaded has no styles yet
    assert page.evaluate(OVERFLOW) == 0, page.url
    assert page.evaluate(TOO_SMALL) == [], page.url
    assert axe(page) == [], page.url


def each_fits(page: Page, axe, paths: Iterable[str]) -> None:
    """Every one of *paths* in one world: to build it anew for each would cost most of the time."""
    for path in paths:
        assert page.goto(path).status == 200, path
        fit(page, axe)


def log_in(page: Page, name: str) -> None:
    page.goto("/")
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(f"{name}-of-marram")
    page.get_by_role("button", name="Log in").click()
    expect(page.get_by_role("heading", name="Floor")).to_be_visible()


def title(page: Page, words: str) -> None:
    """The page of that heading is here, and so are its scripts."""
    expect(page.get_by_role("heading", level=1)).to_contain_text(words)
    page.wait_for_load_state()


@SIZES
def test_corn_is_received_and_taken_back(world, browser_page, axe, size):
    page = browser_page(size)
    page.goto("/")
    fit(page, axe)
    log_in(page, "bo")
    fit(page, axe)
    page.get_by_text("What is next at BIN-1").click()
    page.get_by_role("link", name="Receive a material").first.click()
    title(page, "Receive a material")
    expect(page.get_by_label("Put into")).to_have_value("BIN-1")
    fit(page, axe)
    page.locator("#id_quantity").fill("2,000 lb")
    page.get_by_role("button", name="Look it over").last.click()
    expect(page.get_by_role("alert")).to_be_focused()
    fit(page, axe)
    page.get_by_role("link", name="Material:").click()
    expect(page.get_by_label("Material")).to_be_focused()
    page.get_by_label("Material").select_option("CORN")
    page.get_by_label("Supplier", exact=True).fill("Dune Grain (invented)")
    page.get_by_role("button", name="Look it over").last.click()
    title(page, "look it over")
    expect(page.get_by_text("2,000.00 lb · supplier → BIN-1 (materials)")).to_be_visible()
    fit(page, axe)
    page.get_by_role("button", name="Change something").click()
    expect(page.locator("#id_quantity")).to_have_value("2,000 lb")
    page.get_by_role("button", name="Look it over").last.click()
    title(page, "look it over")
    page.get_by_role("button", name="Record it").click()
    expect(page.get_by_text("Recorded as entry № 1.")).to_be_visible()
    fit(page, axe)
    page.get_by_role("link", name="The whole entry").click()
    title(page, "№ 1")
    page.get_by_role("link", name="Take back", exact=True).click()
    title(page, "Take an entry back")
    fit(page, axe)
    page.get_by_label("Why").fill("It went to the other bin.")
    page.get_by_role("button", name="Look it over").last.click()
    title(page, "look it over")
    page.get_by_role("button", name="Record it").click()
    title(page, "№ 2")
    assert Entry.objects.get(number=2).reverses.number == 1


PATHS = (
    "/record/", "/record/mash/?vessel=FV-2", "/record/receive-in-bond/", "/vessels/FV-1/",
    "/vessels/B-1/", "/lots/W-2/", "/book/", "/book/2/", "/book/?lot=G-1",
)  # fmt: skip


@SIZES
def test_every_page_fits(world, browser_page, axe, size):
    world.record(
        "receive-material", "2026-01-05 09:00", material="CORN", quantity="2,000 lb",
        vessel="BIN-1", supplier="Dune Grain (invented)",
    )  # fmt: skip
    grains = [{"lot": "G-1", "quantity": "400 lb"}]
    world.record("mash", "2026-01-06 09:00", grains=grains, into="FV-1", wash="200 gal")
    world.record("ferment-reading", "2026-01-07 08:00", vessel="FV-1", gravity="1.031")
    each_fits(browser_page(size, user=world.owner), axe, PATHS)


def tab_to(page: Page, label: str) -> None:
    """Press Tab until the box, link or button with that label has the focus."""
    told = """() => { const one = document.activeElement;
        const label = one.labels && one.labels.length ? one.labels[0] : one;
        return label.innerText.trim() }"""
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate(told).startswith(label):
            return
    raise AssertionError(f"Tab never comes to “{label}”")


def test_it_goes_by_keyboard_alone(world, browser_page):
    page = browser_page("tablet", user=world.operator)
    page.goto("/")
    tab_to(page, "Record an act")
    page.keyboard.press("Enter")
    title(page, "Record an act")
    tab_to(page, "Receive a material")
    page.keyboard.press("Enter")
    title(page, "Receive a material")
    for label, typed in (
        ("Material", "Corn"),
        ("Quantity", "150 lb"),
        ("Put into", "BIN-2"),
        ("Supplier", "Dune Grain (invented)"),
    ):
        tab_to(page, label)
        page.keyboard.type(typed)
    page.keyboard.press("Enter")
    title(page, "look it over")
    tab_to(page, "Record it")
    page.keyboard.press("Enter")
    title(page, "№ 1")
    entry = Entry.objects.get()
    movement = entry.movements.get()
    assert (movement.amount, movement.to_vessel.code) == (15000, "BIN-2")


def test_two_taps_are_one_entry(world, browser_page):
    page = browser_page("tablet", user=world.operator)
    page.goto("/record/receive-material/?vessel=BIN-1&material=CORN&quantity=10+lb&supplier=Dune")
    page.get_by_role("button", name="Look it over").last.click()
    title(page, "look it over")
    page.get_by_role("button", name="Record it").dblclick()
    title(page, "№ 1")
    page.go_back()
    page.get_by_role("button", name="Record it").click()
    expect(page.get_by_text("This was recorded before: entry № 1.")).to_be_visible()
    assert Entry.objects.count() == 1


def test_in_the_dark_and_on_paper_it_can_be_read(world, browser_page, axe):
    page = browser_page("tablet", user=world.owner)
    page.emulate_media(color_scheme="dark", forced_colors="none")
    page.goto("/")
    assert axe(page) == []
    page.goto("/record/receive-material/")
    assert axe(page) == []
    page.emulate_media(media="print")
    page.goto("/book/")
    expect(page.locator(".doors")).to_be_hidden()
    assert page.evaluate(OVERFLOW) == 0


def test_a_stranger_is_told_what_to_do(world, browser_page, axe, console_errors):
    page = browser_page("phone", user=make_person(None, "dee", ""))
    assert page.goto("/").status == 404
    expect(page.get_by_text("Ask the plant's owner to add you")).to_be_visible()
    fit(page, axe)
    # Chromium notes the status of the page itself.
    console_errors.clear()


@SIZES
def test_a_question_and_a_closed_month_fit_too(world, browser_page, axe, size):
    page = browser_page(size, user=world.owner)
    page.goto("/record/receive-in-bond/?vessel=S-2&consignor=Sand+Bar&registry=DSP-XX-00001")
    page.get_by_role("button", name="All on one page").click()
    for box, typed in (
        ("Transfer record, serial", "T-1"),
        ("Proof gallons by the transfer record", "570 PG"),
        ("Volume", "300 gal"),
        ("Temperature of the liquid when measured", "60 F"),
        ("Proof at 60 °F, if already corrected", "190"),
        ("Distillation proof", "192"),
        ("When", "2026-01-10T10:00"),
    ):
        named = page.get_by_label(box, exact=True).or_(page.get_by_label(f"{box} (optional)"))
        named.first.fill(typed)  # the gauge on receipt stands before those of packages
    for box, choice in (("Seals on arrival", "intact"), ("Deposited in", "storage")):
        page.get_by_label(box).select_option(choice)
    page.locator("#id_family").select_option("spirits")
    page.get_by_role("button", name="Look it over").last.click()
    title(page, "look it over")
    fit(page, axe)
    page.get_by_role("button", name="Record it").click()
    expect(page.get_by_role("alert")).to_contain_text("Not recorded yet")
    page.get_by_role("checkbox").check()
    fit(page, axe)
    page.get_by_role("button", name="Record it").click()
    title(page, "№ 1")
    close(world.premises, date(2026, 1, 1), by="ada")
    page.goto("/record/receive-material/?vessel=BIN-1&material=CORN&quantity=9+lb&supplier=Dune")
    page.get_by_label("When").fill("2026-01-11T10:00")
    page.get_by_role("button", name="Look it over").last.click()
    expect(page.get_by_role("alert")).to_contain_text("January 2026 is closed.")
    fit(page, axe)
