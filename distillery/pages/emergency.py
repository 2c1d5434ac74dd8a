"""The emergency page: open to everybody at the plant, without a log-in and kept by the tablet."""

from ipaddress import ip_address, ip_network
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from distillery.context import member_of
from distillery.devices import device_of
from distillery.emergency import CASES, WHO_DECIDES
from distillery.models import EmergencyFact, RoomLimit
from distillery.proxies import client_address
from ledger.models import Premises

# RFC 1918, RFC 4193, link-local and this machine.
NEAR = tuple(
    ip_network(one)
    for one in (
        "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "127.0.0.0/8",
        "fc00::/7", "fe80::/10", "::1/128",
    )
)  # fmt: skip


@login_not_required
@require_safe
def emergency(request: HttpRequest) -> HttpResponse:
    """What to do, whom to ring, the limits posted in the rooms.

    The plant's own lines are shown to its people, on its tablets, and on its own network where
    only one plant is kept here; elsewhere the page has the general lines alone.
    """
    premises = _plant_of(request)
    told: dict[str, Any] = {"cases": CASES, "who_decides": WHO_DECIDES, "plant": premises}
    if premises:
        told["facts"] = EmergencyFact.objects.filter(premises=premises)
        told["limits"] = RoomLimit.objects.filter(premises=premises)
    return render(request, "emergency.html", told)


def _plant_of(request: HttpRequest) -> Premises | None:
    member, device = member_of(request), device_of(request)
    if member or device:
        return member.premises if member else device.premises  # type: ignore[union-attr]
    plants = list(Premises.objects.order_by("pk")[:2]) if is_near(request) else []
    return plants[0] if len(plants) == 1 else None


def is_near(request: HttpRequest) -> bool:
    """Whether the asking machine is on the server's own network."""
    try:
        address = ip_address(client_address(request))
    except ValueError:
        return False
    return any(address in network for network in NEAR)
