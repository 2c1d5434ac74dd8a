"""An address or a question in it with a NUL is none of ours: not found, before any query.

PostgreSQL takes no NUL in a text and raises; SQLite takes it and finds nothing. No code, word or
number of a plant has one, so that both answer alike here.
"""

from collections.abc import Callable
from typing import Any

from django.http import Http404, HttpRequest, HttpResponseBase

NUL = "\x00"


class NoNul:
    """Middleware; last of all, so that who is not logged in is asked for that first."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, *view: Any) -> None:
        """Raises Http404 for a NUL in the path, or in a name or value of the question."""
        asked = (text for name, values in request.GET.lists() for text in (name, *values))
        if NUL in request.path or any(NUL in text for text in asked):
            raise Http404("No address has a NUL.")
