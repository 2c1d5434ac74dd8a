"""Who is asking, when a TLS proxy stands in front of the server."""

from django.conf import settings
from django.http import HttpRequest


def client_address(request: HttpRequest) -> str:
    """The address of the asking machine, for the log-in throttle.

    Behind the proxy (`DISTILLERY_TLS=1`) it is the last address of `X-Forwarded-For`, the
    only one that our own proxy wrote; else it is the peer of the connection.
    """
    forwarded = request.headers.get("x-forwarded-for", "") if settings.BEHIND_TLS else ""
    return forwarded.rpartition(",")[2].strip() or request.META.get("REMOTE_ADDR", "")
