"""A bench result carried into a record: the form opens with it filled in, parts and rows too."""

import pytest

from tests.distillery.bench.working import worked
from tests.world import make_barrels

pytestmark = pytest.mark.django_db


def value_of(html, name):
    """The value of the box called *name* on the page."""
    start = html.index(f'name="{name}"')
    box = html[html.rindex("<", 0, start) : html.index(">", start)]
    return box.split('value="')[1].split('"')[0] if 'value="' in box else ""


def test_a_package_is_carried_into_the_first_barrel(world, client_of):
    make_barrels(world.premises, "B-9")
    carried = worked("proof-gallons-by-package", gross="165.5", tare="50", proof="118").carried
    html = client_of(world.owner).get("/record/fill-barrels/", carried).content.decode()
    assert value_of(html, "barrels-0-gross") == "165.50"
    assert value_of(html, "proof") == "118.0"


def test_a_blend_is_carried_into_the_gauge_of_the_batch(world, client_of):
    """Equal volumes of 120 proof and water are weaker than their mean says: they contract."""
    typed = {
        "lots-0-volume": "50", "lots-0-proof": "120", "lots-1-volume": "50", "lots-1-proof": "0",
    }  # fmt: skip
    carried = worked("blend", **typed).carried
    html = client_of(world.owner).get("/record/blend/", carried).content.decode()
    assert value_of(html, "gauge-volume") == carried["gauge-volume"]
    assert float(value_of(html, "gauge-proof")) > 60
