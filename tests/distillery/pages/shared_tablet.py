"""A client on a shared tablet of the small plant, and what people do at it."""

import pytest
from django.utils import timezone

from distillery.devices import COOKIE, register
from distillery.pins import set_pin

CORN = {
    "key": "from-the-tablet", "at": "2026-01-06T10:00", "material": "CORN",
    "quantity": "150 lb", "supplier": "A farm", "vessel": "BIN-1",
}  # fmt: skip
RECEIVE = "/record/receive-material/"
CLOSE = "/filings/2026-01/close/"


@pytest.fixture
def tablet(world, client_of):
    """A client on a registered tablet with nobody on it; all three people have codes."""
    device, cookie = register(world.premises, "Still house tablet", by="ada")
    for user, code in ((world.owner, "2580"), (world.operator, "7391"), (world.reader, "4826")):
        set_pin(user, code, now=timezone.now())
    client = client_of()
    client.cookies[COOKIE] = cookie
    client.device = device
    return client


def switch(client, user, code, **more):
    return client.post("/who/", {"person": user.pk, "code": code, **more})


def looked_over(client):
    """The corn looked over, as the page that records it would send it."""
    digest = client.post(RECEIVE, {**CORN, "step": "preview"}).context["digest"]
    return {**CORN, "step": "confirm", "digest": digest}


def rest(client, *, minutes):
    session = client.session
    session["seen"] = timezone.now().timestamp() - minutes * 60
    session.save()
