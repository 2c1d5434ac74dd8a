"""A NUL in an address: the page is not found; in a question it is read as no character at all.

PostgreSQL takes no NUL in a text and raises; SQLite takes it and finds nothing. No code, word or
number of a plant has one, so that both answer alike here.
"""

from collections.abc import Callable
from typing import Any

from django.http import Http404, HttpRequest, HttpResponseBase, QueryDict

NUL, WRITTEN, NO_CHARACTER = "\x00", "%00", "%EF%BF%BD"  # U+FFFD, as for bytes that are no text


class NoNul:
    """Middleware; last of all, so that who is not logged in is asked for that first."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, *view: Any) -> None:
        """Reads the question without its NULs. Raises Http404 for one in the path."""
        if NUL in request.path:
            raise Http404("No address has a NUL.")
        query = request.META.get("QUERY_STRING", "")
        if WRITTEN in query:
            request.GET = QueryDict(query.replace(WRITTEN, NO_CHARACTER))
