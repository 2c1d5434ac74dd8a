"""Every page of the app as an address in one small plant; a new page is found by itself."""

from django.test import Client
from django.urls import reverse
from playwright.sync_api import Page

from distillery.bench import calculations
from distillery.models import BottlingRun
from distillery.operations import operations
from distillery.records import kinds
from tests.distillery.pages.addresses import Address, addresses
from tests.distillery.pages.conftest import bottled, filed, gauged, receive, running, walked
from tests.world import World, make_barrels, make_world

_PAGES: dict[bool, list[str]] = {}


def full_world() -> World:
    """The small plant with every thing that a page is about."""
    world = make_world()
    # Who sets up the plant has one door more than others.
    world.owner.is_staff = True
    world.owner.save(update_fields=["is_staff"])
    make_barrels(world.premises, "B-1", "B-2")
    receive(world, quantity="2,000 lb")
    for fill in (gauged, bottled, running, filed, walked):
        fill(world)
    return world


def paths() -> list[str]:
    """Every address, with a form for each operation, and each work of the bench and record."""
    found = [_here(one) for one in addresses()]
    found += [reverse("record-operation", args=[slug]) for slug in operations()]
    found += [reverse("bench-work", args=[slug]) for slug in calculations()]
    found += [reverse("record-of", args=[slug]) for slug in kinds()]
    return list(dict.fromkeys(found))


def _here(address: Address) -> str:
    """The path in this plant, where the number of an entry is part of a name."""
    if address.name != "bottling":
        return address.path
    run = BottlingRun.objects.first()
    return reverse("bottling", args=[run.serial]) if run else address.path


def pages(user, *, is_full: bool = True) -> list[str]:
    """The addresses that are whole pages for *user*, not a paper, a part or an act.

    In a plant that is not full the things have no pages, and are left out. They are asked for once
    in a run: every full world is the same, and ``opened`` sees to it that they are there.
    """
    if is_full not in _PAGES:
        client = Client()
        client.force_login(user)
        # Asked for, the log-out would end this client's session.
        asked = [path for path in paths() if path != reverse("logout")]
        _PAGES[is_full] = [path for path in asked if _is_page(client, path, is_full=is_full)]
    return _PAGES[is_full]


def opened(page: Page, path: str) -> None:
    """*path* in the browser; fails where it is not answered by a page of its own."""
    answer = page.goto(path)
    assert answer, path
    assert answer.status == 200, path


def _is_page(client: Client, path: str, *, is_full: bool) -> bool:
    answer = client.get(path)
    # A name that is not in this plant would leave its page out of every check without a word.
    assert answer.status_code != 404 or not is_full or "no-such-secret" in path, path
    is_html = answer["Content-Type"].startswith("text/html")
    return answer.status_code == 200 and is_html and b"<!doctype" in answer.content
