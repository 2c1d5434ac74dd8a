"""After a check of bottles the page says it was kept, and which key it took."""

import pytest

from distillery.models import BottleCheck
from tests.distillery.pages.conftest import bottled

pytestmark = pytest.mark.django_db


def test_a_check_is_told_as_kept(world, client_of):
    bottled(world)
    client = client_of(world.operator)
    form = {
        "step": "confirm", "key": "c-1", "at": "2026-03-02T12:00", "vessel": "BT-1",
        "fills-0-volume": "750 mL",
    }  # fmt: skip
    done = client.post("/record/bottle-check/", form, follow=True)
    assert done.redirect_chain == [("/kept/?key=c-1", 302)]
    assert 'data-taken="c-1"' in done.content.decode()
    assert "Within tolerance." in done.content.decode()  # 27 CFR 19.356(b): 2 % of 750 mL
    assert BottleCheck.objects.filter(key="c-1").count() == 1


def test_a_key_of_another_is_no_check(world, client_of):
    told = client_of(world.operator).get("/kept/?key=nobody").content.decode()
    assert "No check was kept under this address." in told
    assert "data-taken" not in told
