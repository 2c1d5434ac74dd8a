"""The checks of pages find what they are for: one page with a fault of each kind, one without.

Contrast: black on white is 21:1 (WCAG 2.2, "contrast ratio"); the grey #767676 on white is the
lightest that passes 4.5:1, #777777 does not (by the same formula).
"""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import SIZES
from tests.browser.rendered import at_twice_the_size, bring, found, walked

pytestmark = pytest.mark.browser
PAGE = """<!doctype html><html lang="en"><head><title>{title}</title><style>
  body {{ margin: 0; background: #fff; color: #000; }}
  button, a {{ display: inline-block; width: 60px; height: 60px; background: #fff; color: #000;
    border: 2px solid #000; margin: 6px; }}
  a:focus-visible {{ outline: 2px solid #000; }}
  {style}
</style></head><body>{body}</body></html>"""
SOUND = (
    '<h1>One</h1><main><a href="#a">A</a><a href="#b">B</a><button class="main">C</button></main>'
)
CHECKS = ["frame", "targets", "contrast", "overlaps", "motion", "mainAct", "fixed"]
BY_ITSELF = {"walk": walked, "twice the size": at_twice_the_size}


@pytest.fixture(scope="module")
def blank(chromium) -> Iterator[Page]:
    """One page for all: nothing here asks a server or the book."""
    width, height = SIZES["phone"]
    context = chromium.new_context(viewport={"width": width, "height": height})
    page = context.new_page()
    bring(page)
    yield page
    context.close()


@pytest.fixture
def told(blank):
    """`told(checks, style=..., body=...)`: what the checks find on a page made of these."""

    def tell(checks, *, style="", body=SOUND, title="A page") -> list[str]:
        html = PAGE.format(title=title, style=style, body=body)
        page = blank
        page.unroute_all()
        page.route("**/*", lambda one: one.fulfill(body=html, content_type="text/html"))
        page.emulate_media(forced_colors="active" if checks == ["forced"] else "none")
        page.goto("http://specimen.invalid/")
        if checks == ["keys"]:
            for _ in range(page.evaluate("rendered.listen()")):
                page.keyboard.press("Tab")
        return BY_ITSELF[checks[0]](page) if checks[0] in BY_ITSELF else found(page, checks)

    return tell


def test_a_sound_page_is_left_in_peace(told):
    assert told(CHECKS, style="h1 { color: #767676; font-size: 18px; }") == []
    for check in ("keys", "walk", "twice the size"):
        assert told([check], style="button:focus-visible { outline: 2px solid #000; }") == []
    assert told(["forced"], body="<svg><path d='M0 0h9v9z' stroke='black'/></svg>") == []


FAULTS = [
    ("contrast", {"style": "h1 { color: #777777; font-size: 18px; }"}, "4.48:1, needs 4.5:1"),
    ("contrast", {"style": "button { border-color: #999; }"}, "needs 3:1"),
    ("targets", {"style": "a { height: 30px; }"}, "is 64x34"),
    ("targets", {"style": "a { margin: 0; }"}, "apart"),
    ("targets", {"style": "button { height: 50px; }"}, "main act"),
    ("frame", {"style": "h1 { width: 500px; }"}, "too wide"),
    ("frame", {"body": "<h1>One</h1><h1>Two</h1>"}, "2 first headings"),
    ("frame", {"title": ""}, "no title"),
    ("overlaps", {"style": "main { margin-top: -60px; }"}, "lies on"),
    ("motion", {"style": "a { transition: color 1s; }"}, "moves"),
    ("keys", {"style": "button:focus-visible { outline: none; }"}, "cannot be seen"),
    ("keys", {"body": '<a href="#b" id="b">B</a><a href="#a" tabindex="1">A</a>'}, "goes back"),
    ("walk", {"style": "button:focus-visible { outline: none; }"}, "cannot be seen"),
    ("walk", {"style": "button:focus-visible { outline-color: #ddd; }"}, "cannot be seen"),
    ("walk", {"style": "main { overflow: hidden; width: 60px; } a { margin: 0; }"}, "is cut"),
    ("walk", {"style": "h1 { position: fixed; inset: 0; }"}, "under h1"),
    ("walk", {"style": "main { display: flex; flex-direction: row-reverse; }"}, "goes back"),
    ("walk", {"style": "main { display: flex; flex-direction: column-reverse; }"}, "goes back"),
    ("walk", {"body": "<b tabindex=0 role=button>B</b>"}, "Enter does nothing"),
    ("walk", {"body": "<a href=#b tabindex=1>B</a>"}, "steps out of the order"),
    ("walk", {"body": f"{SOUND}<script>onkeydown = one => one.preventDefault()</script>"}, "held"),
    ("frame", {"style": "h1 { height: 9px; overflow: hidden; }"}, "cut below"),
    ("fixed", {"style": "h1 { position: fixed; bottom: -30px; }"}, "off the screen"),
    ("twice the size", {"style": "@media (max-width: 330px) { a { display: none; } }"}, "gone: a"),
    ("mainAct", {"style": "h1 { position: fixed; inset: 0; }"}, "is covered"),
    ("forced", {"body": "<svg><path d='M0 0h9v9z' fill='none' stroke='#eee'/></svg>"}, "path"),
]  # fmt: skip


@pytest.mark.parametrize(("check", "page", "words"), FAULTS)
def test_a_fault_is_found(told, check, page, words):
    lines = told([check], **page)
    assert lines
    assert all(line.startswith(check) for line in lines)
    assert any(words in line for line in lines)
