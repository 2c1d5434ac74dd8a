"""What a page comes to in the browser, computed from its boxes and computed styles.

The checks are the scripts of the folder ``rendered``; each says what it holds a page to.
"""

from collections.abc import Iterable
from pathlib import Path

from playwright.sync_api import Page

SCRIPTS = sorted(Path(__file__).with_name("rendered").glob("*.js"))
LIGHT = ("frame", "targets", "contrast", "overlaps", "motion", "mainAct", "fixed")
ZOOM = ("frame", "overlaps", "mainAct", "fixed")
# At 200 % a screen has half as many CSS px each way (WCAG 2.2, 1.4.4). A page is not asked to fit
# into less than 320 px (1.4.10), so a phone is not halved further than that.
NARROWEST = 320


def bring(page: Page, *, is_whole: bool = True) -> None:
    """Lay the checks into every page this one opens; show a form whole, or card by card."""
    for script in SCRIPTS:
        page.add_init_script(path=script)
    page.add_init_script(f"localStorage.setItem('cards:all', '{'yes' if is_whole else 'no'}')")


def unfold(page: Page) -> None:
    """Open what is folded, so that it is measured as well."""
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")


def found(page: Page, checks: Iterable[str]) -> list[str]:
    """One line for each thing found on the page by *checks*, names of functions of the scripts."""
    return [f"{check}: {one}" for check in checks for one in page.evaluate(f"rendered.{check}()")]


def looked_over(page: Page, errors: list[str], *, by_keys: bool = True) -> list[str]:
    """What is wrong with the page in the light, in the dark, in forced colours, at twice the size,
    and for keys alone unless *by_keys* is false.

    *errors* is what its console said so far; it is emptied.
    """
    page.emulate_media(reduced_motion="reduce", color_scheme="light", forced_colors="none")
    unfold(page)
    told = found(page, LIGHT) + (walked(page) if by_keys else [])
    told += at_twice_the_size(page, by_keys=by_keys)
    page.emulate_media(color_scheme="dark")
    told += [f"dark {one}" for one in found(page, ["contrast"])]
    page.emulate_media(color_scheme="light", forced_colors="active")
    told += found(page, ["forced"]) + [f"console: {one}" for one in errors]
    errors.clear()
    return [f"{page.url} {one}" for one in told]


def walked(page: Page) -> list[str]:
    """What Tab would not reach, show or take in the order of the page, found by script."""
    page.keyboard.press("Tab")
    return found(page, ["walk"])


def at_twice_the_size(page: Page, *, by_keys: bool = True) -> list[str]:
    """What is gone, cut, covered or out of reach at 200 %; by keys on what is wide enough."""
    size = page.viewport_size
    assert size is not None
    before = page.evaluate("rendered.controls()")
    width, height = size["width"] // 2, size["height"] // 2
    page.set_viewport_size({"width": max(NARROWEST, width), "height": height})
    told = found(page, ZOOM)
    if by_keys and width >= NARROWEST:
        told += walked(page)
    here = page.evaluate("rendered.controls()")
    told += [f"gone: {one}" for one in before if one not in here]
    page.set_viewport_size(size)
    return [f"twice the size {one}" for one in told]
