"""A person at a tablet who records any act: to its form by taps, box by box, card by card."""

from collections.abc import Iterator
from typing import Any

from playwright.sync_api import Locator, Page, expect

# What hides a box: a fold, nothing, or that its card is not the one shown: the way to go there.
HIDDEN_BY = """box => {
  if (box.checkVisibility()) return '';
  const card = box.closest('.step[hidden]');
  if (!card) return 'fold';
  const shown = card.parentElement.querySelector('.step:not([hidden])');
  const isAhead = shown.compareDocumentPosition(card) & Node.DOCUMENT_POSITION_FOLLOWING;
  return isAhead ? 'next' : 'back';
}"""
NAMES = "form => [...form.elements].map(one => one.name).filter(Boolean)"
# Digits and a point, with a unit that the pad has a key for.
UNITS = {"F": "°F", "gal": "gal", "lb": "lb", "L": "L", "g": "g"}


def boxes_of(fields: dict[str, Any], before: str = "") -> Iterator[tuple[str, Any]]:
    """(name on the page, value) of every box that *fields* fill: parts and rows inside."""
    for name, value in fields.items():
        whole = f"{before}{name}"
        if isinstance(value, dict):
            yield from boxes_of(value, f"{whole}-")
        elif isinstance(value, list):
            for index, row in enumerate(value):
                yield from boxes_of(row, f"{whole}-{index}-")
        elif value not in (False, None, ""):
            yield whole, value


class Hand:
    """Taps, never types where the pad can; *by_pad* is false for a tablet with a keyboard."""

    def __init__(self, page: Page, *, by_pad: bool) -> None:
        self.page, self.by_pad, self.taps = page, by_pad, 0

    def tap(self, what: Locator) -> None:
        """One touch."""
        what.tap()
        self.taps += 1

    def go(self, what: Locator) -> None:
        """A touch that leads to another page."""
        with self.page.expect_navigation():
            self.tap(what)

    def floor(self) -> None:
        """Where every act begins."""
        self.page.goto("/")
        expect(self.page.get_by_role("heading", name="Floor", exact=True)).to_be_visible()

    def by_the_list(self, title: str) -> None:
        """Floor, all acts, the act."""
        self.floor()
        self.go(self.page.get_by_role("link", name="Record an act"))
        self.go(self.page.locator("main .act-list").get_by_role("link", name=title, exact=True))

    def by_the_vessel(self, slug: str, code: str) -> bool:
        """Floor, the vessel's card, the act; False where the floor offers it at no vessel."""
        self.floor()
        link = self.page.locator(f"main a[href='/record/{slug}/?vessel={code}']").first
        if not link.count():
            return False
        self.unfold(link)
        self.go(link)
        return True

    def by_the_picture(self, slug: str, code: str) -> bool:
        """Floor, the vessel in its picture, the act on the vessel's page; False as above."""
        self.floor()
        spot = self.page.locator(f"svg.plan:visible a[href='/vessels/{code}/']")
        if not spot.count():
            return False
        self.go(spot)
        link = self.page.locator(f"main a[href='/record/{slug}/?vessel={code}']").first
        if not link.count():
            return False
        self.unfold(link)
        self.go(link)
        return True

    def unfold(self, what: Locator) -> None:
        """Open the fold that *what* stands in."""
        if not what.is_visible():
            self.tap(what.locator("xpath=ancestor::details[1]/summary"))
            expect(what).to_be_visible()

    def fill(self, fields: dict[str, Any]) -> None:
        """Every box in the order of the page."""
        form = self.page.locator("#sheet")
        wanted = dict(boxes_of(fields))
        for _ in range(3):
            names = form.evaluate(NAMES)
            lacking = next((name for name in wanted if name not in names), None)
            if lacking is None:
                break
            self.more_rows(lacking.split("-")[0])
        for name in dict.fromkeys(names):
            if name in wanted:
                self.put(form.locator(f"[id='id_{name}']"), str(wanted.pop(name)))
        assert not wanted, f"no box for {wanted}"

    def more_rows(self, name: str) -> None:
        """Add rows where the drawn ones are too few."""
        button = self.page.locator(f"#id_{name} button[value=more]")
        self.show(button)
        self.go(button)
        expect(self.page.locator("#sheet")).to_be_visible()

    def show(self, box: Locator) -> None:
        """Go card by card, and unfold, until *box* is to be seen."""
        while by := box.evaluate(HIDDEN_BY):
            if by == "fold":
                self.unfold(box)
            else:
                self.tap(self.page.locator(f".step-{by}"))

    def put(self, box: Locator, value: str) -> None:
        """Fill one box as its kind is filled."""
        self.show(box)
        tag, kind, cls = box.evaluate("box => [box.tagName, box.type, box.className]")
        if kind == "checkbox":
            if not box.is_checked():
                self.tap(self.page.locator(f"label[for='{box.get_attribute('id')}']"))
            expect(box).to_be_checked()
        elif tag == "SELECT":
            box.select_option(value)
        elif kind == "datetime-local":
            box.fill(value.replace(" ", "T"))
        elif box.input_value() != value:
            self.write(box, value, on_pad=self.by_pad and "quantity" in cls)

    def write(self, box: Locator, value: str, *, on_pad: bool) -> None:
        """Figures by the pad where it has the keys for them, other text by the keyboard."""
        self.tap(box)
        figures, _, unit = value.partition(" ")
        pad = self.page.get_by_role("group", name="Number pad")
        if not on_pad or not figures.replace(".", "", 1).isdecimal() or len(figures) > 12:
            box.fill(value)
            return
        expect(pad).to_be_visible()
        choice = pad.locator(f"button[data-unit='{UNITS.get(unit, unit)}']")
        if unit and not choice.count() and box.get_attribute("data-unit") != unit:
            box.fill(value)
            return
        self.tap(pad.get_by_role("button", name="Clear", exact=True))
        self.keys(pad, figures)
        if unit and choice.count():
            self.tap(choice)
        self.tap(pad.get_by_role("button", name="Close", exact=True))

    def keys(self, pad: Locator, figures: str) -> None:
        """Key by key; the same key again only after the time that tells a drop from a finger."""
        last = ""
        for figure in figures:
            if figure == last:
                self.page.wait_for_timeout(80)
            last = figure
            pad.get_by_role("button", name="Point" if figure == "." else figure, exact=True).tap()

    def look_over(self) -> None:
        """Through the cards that are left to the check page, or to what a reading comes to."""
        main = self.page.locator(".step-acts button.main")
        while main.evaluate("one => !one.checkVisibility()"):
            self.tap(self.page.locator(".step-next"))
        pad = self.page.get_by_role("group", name="Number pad")
        if pad.is_visible():
            self.tap(pad.get_by_role("button", name="Close", exact=True))
        self.go(main)

    def answer(self) -> None:
        """On the check page: tick what is asked and record, until nothing more is asked."""
        check = self.page.locator("form[data-preview]")
        done = self.page.locator("[data-taken]")
        refused = self.page.locator("#sheet")
        for _ in range(4):
            expect(check.or_(done).or_(refused)).to_be_visible()
            assert not refused.count(), self.page.locator("main").inner_text()
            if not check.count():
                return
            for one in check.get_by_role("checkbox").all():
                if not one.is_checked():
                    self.tap(one)
            self.go(self.page.get_by_role("button", name="Record it"))
        expect(done).to_be_visible()
