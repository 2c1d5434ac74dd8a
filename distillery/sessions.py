"""Whose session a tablet has: the person's who is here, whatever is still on its way.

A page that a script fetches may be answered after its person has left and another has come. It
bears the session that is gone, and Django would tell the browser to forget the cookie: the one
of the person who is here now.
"""

from django.conf import settings
from django.contrib.sessions.middleware import SessionMiddleware
from django.http import HttpRequest, HttpResponse


def is_fetched(request: HttpRequest) -> bool:
    """Whether a script of a page asks, and not a person who opens or sends one.

    Browsers name the mode only to a site that they trust; without TLS a script is told by its
    header or by what it accepts.
    """
    if mode := request.headers.get("sec-fetch-mode"):
        return mode != "navigate"
    accepted = request.headers.get("accept", "text/html")
    return "hx-request" in request.headers or "text/html" not in accepted


class Sessions(SessionMiddleware):
    """Django's own, save that what was fetched takes no session away."""

    def process_response(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        """The answer, without the word to forget the cookie where a script asked."""
        response = super().process_response(request, response)
        kept = response.cookies.get(settings.SESSION_COOKIE_NAME)
        if kept is not None and kept["max-age"] == 0 and is_fetched(request):
            del response.cookies[settings.SESSION_COOKIE_NAME]
        return response
