"""What a page comes to in the browser, computed from its boxes and computed styles.

The checks are the scripts of the folder ``rendered``; each says what it holds a page to.
"""

from collections.abc import Iterable
from pathlib import Path

from playwright.sync_api import Page

SCRIPTS = sorted(Path(__file__).with_name("rendered").glob("*.js"))
LIGHT = ("frame", "targets", "contrast", "overlaps", "motion", "mainAct")
ZOOM = ("frame", "overlaps", "mainAct")
# At 200 % a screen has half as many CSS px each way (WCAG 2.2, 1.4.4). A page is not asked to fit
# into less than 320 px (1.4.10), so a phone is not halved further than that.
NARROWEST = 320


def bring(page: Page) -> None:
    """Lay the checks into every page this one opens, and show a form whole, not card by card."""
    for script in SCRIPTS:
        page.add_init_script(path=script)
    page.add_init_script("localStorage.setItem('cards:all', 'yes')")


def unfold(page: Page) -> None:
    """Open what is folded, so that it is measured as well."""
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")


def found(page: Page, checks: Iterable[str]) -> list[str]:
    """One line for each thing found on the page by *checks*, names of functions of the scripts."""
    return [f"{check}: {one}" for check in checks for one in page.evaluate(f"rendered.{check}()")]


def looked_over(page: Page, errors: list[str]) -> list[str]:
    """What is wrong with the page in the light, in the dark, in forced colours, at twice the size.

    *errors* is what its console said so far; it is emptied.
    """
    page.emulate_media(reduced_motion="reduce", color_scheme="light", forced_colors="none")
    unfold(page)
    told = found(page, LIGHT) + at_twice_the_size(page)
    page.emulate_media(color_scheme="dark")
    told += [f"dark {one}" for one in found(page, ["contrast"])]
    page.emulate_media(color_scheme="light", forced_colors="active")
    told += found(page, ["forced"]) + [f"console: {one}" for one in errors]
    errors.clear()
    return [f"{page.url} {one}" for one in told]


def at_twice_the_size(page: Page) -> list[str]:
    """What is cut, covered or out of reach at 200 %."""
    size = page.viewport_size
    assert size is not None
    width, height = size["width"] // 2, size["height"] // 2
    page.set_viewport_size({"width": max(NARROWEST, width), "height": height})
    told = found(page, ZOOM)
    page.set_viewport_size(size)
    return [f"twice the size {one}" for one in told]
