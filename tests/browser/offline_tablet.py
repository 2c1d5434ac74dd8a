"""A tablet on a wire that can be cut: opened, its pages kept, records made on it by hand."""

from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from django.test import Client
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Error, Page, expect

from distillery.operations import operations
from tests.browser.conftest import LEFT_BEHIND, PATIENCE_MS, SIZES
from tests.browser.wire import Wire

KEPT = """async () => (await (await caches.open('pages')).keys())
  .map(one => new URL(one.url).pathname)"""
LINE = "async () => (await Tablet.store.line()).map(one => [one.state, one.key])"
PRESS = """() => [...document.querySelectorAll('button')]
  .find((one) => one.textContent === 'Send now')?.click()"""
WAIT_MS, TRIES = 200, 1500  # a busy machine fetches a page of forms in seconds


@dataclass
class Tablet:
    """One browser context and its page, by its own wire."""

    context: BrowserContext
    wire: Wire
    complaints: list[str] = field(default_factory=list)
    page: Page = field(init=False)

    def __post_init__(self) -> None:
        self.page = self.context.pages[0] if self.context.pages else self.context.new_page()
        self.page.on("console", self._note)
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))

    def _note(self, message: ConsoleMessage) -> None:
        # That a request found no network is what these tests do; the browser says so itself.
        expected = ("Failed to load resource", *LEFT_BEHIND)
        if message.type == "error" and not message.text.startswith(expected):
            self.complaints.append(message.text)

    def be(self, user: Any) -> None:
        """Log in as *user*, whoever was here; None for nobody."""
        self.context.clear_cookies()
        if user is not None:
            client = Client()
            client.force_login(user)
            key = client.cookies["sessionid"].value
            self.context.add_cookies([{"name": "sessionid", "value": key, "url": self.wire.url}])

    def begin(self) -> None:
        """Open the floor and wait until the worker looks after this tablet."""
        self.open("/")
        self.page.evaluate("localStorage.setItem('cards:all', 'yes')")
        self.until("() => navigator.serviceWorker.controller !== null", bool)

    def keep_pages(self, *slugs: str) -> None:
        """Open the floor and wait until the forms of *slugs* are kept, or every one."""
        self.begin()
        wanted = slugs or [one.slug for one in operations().values() if not one.owner_only]
        paths = {f"/record/{slug}/" for slug in wanted}
        self.until(KEPT, lambda kept: paths <= set(kept))

    def until(self, script: str, holds: Any) -> Any:
        """The value of *script* in the page once it *holds*; fails after five minutes."""
        value = None
        for _ in range(TRIES):
            with suppress(Error):  # a page in between two addresses has nothing to say
                value = self.page.evaluate(script)
                if holds(value):
                    return value
            self.page.wait_for_timeout(WAIT_MS)
        raise AssertionError(f"{script} stayed at {value}")

    def open(self, path: str) -> None:
        """Open a page of ours."""
        self.page.goto(f"{self.wire.url}{path}")

    def line(self) -> list[list[str]]:
        """State and key of what waits, in order."""
        return self.until(LINE, lambda _: True)

    def receive(self, supplier: str, *, at: str = "") -> None:
        """Corn received, as far as the button under the form."""
        self.open("/record/receive-material/?vessel=BIN-1")
        page = self.page
        page.locator("#id_material").select_option("CORN")
        page.locator("#id_quantity").fill("100 lb")
        page.locator("#id_supplier").fill(supplier)
        if at:
            page.locator("#id_at").fill(at)
        self.look_over()

    def transfer(self, *, to: str, gallons: str) -> None:
        """Spirits of S-1 moved, as far as the button under the form."""
        self.open("/record/transfer/?vessel=S-1")
        self.page.locator("#id_to").select_option(to)
        self.page.locator("#id_volume").fill(gallons)
        self.look_over()

    def look_over(self) -> None:
        """Press the main button of a form."""
        self.page.get_by_role("button", name="Look it over").last.click()

    def kept(self) -> None:
        """The page that shows what waits, with the record just made."""
        expect(self.page.get_by_text("Saved on this tablet, not sent yet.")).to_be_visible()

    def sent(self) -> None:
        """All is sent."""
        expect(self.page.get_by_text("Nothing waits on this tablet.")).to_be_visible()


def new_context(browser: Browser, size: str = "tablet") -> BrowserContext:
    """A context with its service worker, unlike the other browser tests."""
    width, height = SIZES[size]
    context = browser.new_context(viewport={"width": width, "height": height}, has_touch=True)
    context.set_default_timeout(PATIENCE_MS)
    return context


def send_now(page: Page) -> None:
    """The button, unless the tablet's own half minute was up first and took it away."""
    button = page.get_by_role("button", name="Send now")
    expect(button.or_(page.get_by_text("Nothing waits on this tablet.")).first).to_be_visible()
    page.evaluate(PRESS)
