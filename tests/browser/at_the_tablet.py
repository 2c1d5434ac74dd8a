"""A person at the tablet who finds things on the floor and taps: steps that many acts share."""

import re

from playwright.sync_api import Locator, Page, expect

from tests.browser.test_recording_by_touch import keys, shot


class Day:
    """A person with wet gloves: finds things on the floor, taps, and looks before the next tap."""

    def __init__(self, page: Page, size: str) -> None:
        self.page, self.size, self.shots = page, size, 0

    def look(self, name: str) -> None:
        """A picture of the step, and no page wider than its screen."""
        self.settled()
        self.shots += 1
        shot(self.page, f"{self.size}-{self.shots:02}-{name}")
        wide = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert self.page.evaluate(wide) <= 0, name

    def settled(self) -> None:
        """What it comes to is told of all that stands in the boxes."""
        expect(self.page.locator("#live[aria-busy]")).to_have_count(0)

    def heading(self, words: str) -> None:
        """The page is there, and its scripts have run."""
        expect(self.page.get_by_role("heading", level=1)).to_contain_text(words)
        self.page.wait_for_load_state()

    def floor(self) -> None:
        """Home, by the door at the top."""
        self.page.get_by_role("link", name="Floor", exact=True).tap()
        self.heading("Floor")

    def hand(self, where: str, act: str) -> None:
        """What needs a hand there."""
        row = self.page.locator(".hands li").filter(has_text=where).filter(has_text=act)
        row.get_by_role("link").tap()

    def vessel(self, code: str) -> None:
        """A vessel on the plan of the plant."""
        plan = self.page.locator("svg.plan:visible")
        plan.locator("a").filter(has=self.page.locator("text.code-of", has_text=code)).tap()
        self.heading(code)

    def act(self, title: str) -> None:
        """One of the acts that make sense there."""
        self.page.locator("main .acts").get_by_role("link", name=title, exact=True).first.tap()
        self.heading(title)
        self.settled()

    def box(self, name: str) -> Locator:
        """The box of a field."""
        return self.page.locator(f"#id_{name}")

    def pad(self, words: str) -> None:
        """One of the pad's other keys."""
        pad = self.page.get_by_role("group", name="Number pad")
        pad.get_by_role("button", name=words, exact=True).tap()

    def keys(self, figures: str) -> None:
        """Figures where the pad is open."""
        expect(self.page.get_by_role("group", name="Number pad")).to_be_visible()
        keys(self.page, figures)

    def figure(self, name: str, figures: str) -> None:
        """Figures into a box, by the pad."""
        self.page.wait_for_load_state()
        self.reach(name)
        self.box(name).tap()
        expect(self.box(name)).to_have_class(re.compile("on-pad"))
        self.keys(figures)

    def put(self, name: str, figures: str) -> None:
        """Figures into a box, and the pad away."""
        self.figure(name, figures)
        self.pad("Close")
        expect(self.page.get_by_role("group", name="Number pad")).to_be_hidden()

    def choose(self, name: str, value: str) -> None:
        """One of a list."""
        self.reach(name)
        self.box(name).select_option(value)

    def on(self) -> None:
        """The next card."""
        place = self.page.locator(".step-place").inner_text()
        self.page.locator(".step-next").tap()
        expect(self.page.locator(".step-place")).not_to_have_text(place)

    def reach(self, name: str) -> None:
        """The card that has the box."""
        expect(self.box(name)).to_be_attached()
        while not self.box(name).is_visible():
            self.on()

    def to_the_end(self) -> None:
        """All the cards that are left; the last has the button that looks it over."""
        if self.page.locator(".step-ways").count():
            while not self.page.locator(".step-acts").is_visible():
                self.on()

    def record(self, name: str, *ticks: str) -> None:
        """Look it over, answer what is asked, record it."""
        self.to_the_end()
        self.look(f"{name}-form")
        self.page.locator(".step-acts button.main").tap()
        self.heading("look it over")
        for words in ticks:
            self.page.get_by_label(words).check()
        self.look(f"{name}-check")
        self.page.get_by_role("button", name="Record it").tap()
        expect(self.page.get_by_text("Likely next")).to_be_visible()
        self.look(f"{name}-done")

    def gauge(self, volume: str, proof: str, name: str = "gauge") -> None:
        """A gauge at 60 degrees."""
        self.figure(f"{name}-volume", volume)
        self.pad("Next")
        self.keys("60")
        self.put(f"{name}-proof", proof)
