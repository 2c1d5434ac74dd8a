"""A real Chromium for the browser tests, at the sizes a plant uses."""

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import suppress

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.test import Client
from playwright.sync_api import Browser, ConsoleMessage, Error, Page, expect, sync_playwright

SIZES = {"tablet": (1024, 768), "upright": (820, 1180), "phone": (390, 844)}
# How long an outcome may take on a machine that has much to do; it fails only if it never comes.
expect.set_options(timeout=60_000)
PATIENCE_MS = 90_000  # the same, for a page to open and a button to come
# A page that is left while a part of it is on its way says so, and nothing is wrong; one that
# gets no answer or a bad one is told apart from that: sendError, responseError.
LEFT_BEHIND = ("htmx:sendAbort", "htmx:afterRequest")
BETWEEN_MS, TRIES = 100, 200  # the same, for what is asked of a page by script


@pytest.fixture(scope="package")
def chromium() -> Iterator[Browser]:
    """Debian's Chromium; without one a test skips with the reason, and fails in CI."""
    path = os.environ.get("CHROMIUM") or shutil.which("chromium")
    if path is None:
        pytest.skip("no Chromium here: install Debian's chromium or name one in CHROMIUM")
    # Playwright's sync API keeps an event loop in this thread, in which Django would refuse
    # to touch the database.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
            yield browser
            browser.close()
    finally:
        del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture
def console_errors() -> list[str]:
    """What the pages of this test complained about; a test that means one clears it."""
    return []


@pytest.fixture
def browser_page(chromium, live_server, console_errors) -> Iterator[Callable[..., Page]]:
    """Opens pages: `browser_page("phone", user=worker)` is a `Page` logged in as the worker.

    Sizes are the keys of `SIZES`; paths are relative to the live server. At the end of the
    test any console error or broken script on any of the pages is a failure.
    """
    contexts = []

    def open_page(size: str = "tablet", *, user=None) -> Page:
        width, height = SIZES[size]
        context = chromium.new_context(
            base_url=live_server.url,
            viewport={"width": width, "height": height},
            has_touch=True,
            # It fetches pages in the background; test_offline.py is about it.
            service_workers="block",
        )
        context.set_default_timeout(PATIENCE_MS)
        contexts.append(context)
        if user is not None:
            context.add_cookies([_session_cookie(user=user, url=live_server.url)])
        page = context.new_page()
        page.on("console", lambda message: _note(message, into=console_errors))
        page.on("pageerror", lambda error: console_errors.append(str(error)))
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert console_errors == []


@pytest.fixture
def axe() -> Callable[[Page], list[str]]:
    """Scans a page for what a person with a disability cannot use: `axe(page) == []`.

    One line for each finding, whatever its impact, with the rule and the elements.
    """

    def scan(page: Page) -> list[str]:
        page.wait_for_load_state()  # a page half loaded has no styles yet
        found = Axe().run(page).response["violations"]
        return [
            f"{one['id']}: {one['help']} at {[node['target'] for node in one['nodes']]}"
            for one in found
        ]

    return scan


def until(page: Page, script: str, arg: object = None) -> None:
    """Wait until *script*, a function of *arg*, is true in the page: what no locator can see.

    Playwright's own wait is evaluated in the page, which our content policy forbids.
    """
    for _ in range(TRIES):
        with suppress(Error):  # a page in between two addresses has nothing to say
            if page.evaluate(script, arg):
                return
        page.wait_for_timeout(BETWEEN_MS)
    raise AssertionError(f"{script} never held of {arg}")


def _session_cookie(*, user, url: str) -> dict:
    client = Client()
    client.force_login(user)
    return {"name": "sessionid", "value": client.cookies["sessionid"].value, "url": url}


def _note(message: ConsoleMessage, *, into: list[str]) -> None:
    if message.type == "error" and not message.text.startswith(LEFT_BEHIND):
        into.append(f"{message.text} ({message.location.get('url')})")
