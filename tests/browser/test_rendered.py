"""The checks of pages find what they are for: one page with a fault of each kind, one without.

Contrast: black on white is 21:1 (WCAG 2.2, "contrast ratio"); the grey #767676 on white is the
lightest that passes 4.5:1, #777777 does not (by the same formula).
"""

import pytest

from tests.browser.rendered import bring, found

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
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
CHECKS = ["frame", "targets", "contrast", "overlaps", "motion", "mainAct"]


@pytest.fixture
def told(browser_page):
    """`told(checks, style=..., body=...)`: what the checks find on a page made of these."""

    def tell(checks, *, style="", body=SOUND, title="A page") -> list[str]:
        page = browser_page("phone")
        bring(page)
        html = PAGE.format(title=title, style=style, body=body)
        page.route("**/specimen/", lambda one: one.fulfill(body=html, content_type="text/html"))
        page.goto("/specimen/")
        if checks == ["keys"]:
            for _ in range(page.evaluate("rendered.listen()")):
                page.keyboard.press("Tab")
        if checks == ["forced"]:
            page.emulate_media(forced_colors="active")
        return found(page, checks)

    return tell


def test_a_sound_page_is_left_in_peace(told):
    assert told(CHECKS, style="h1 { color: #767676; font-size: 18px; }") == []
    assert told(["keys"], style="button:focus-visible { outline: 2px solid #000; }") == []
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
    ("mainAct", {"style": "h1 { position: fixed; inset: 0; }"}, "is covered"),
    ("forced", {"body": "<svg><path d='M0 0h9v9z' fill='none' stroke='#eee'/></svg>"}, "path"),
]  # fmt: skip


@pytest.mark.parametrize(("check", "page", "words"), FAULTS)
def test_a_fault_is_found(told, check, page, words):
    lines = told([check], **page)
    assert lines
    assert all(line.startswith(f"{check}: ") for line in lines)
    assert any(words in line for line in lines)
