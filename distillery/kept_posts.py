"""A form that was sent after the tablet had locked: kept in the page that asks who it is, and
sent on as whoever answers.

The text is signed, so that what is sent on is what was filled in; the record's own key in it
makes sending it twice harmless.
"""

from datetime import timedelta

from django.core import signing
from django.http import HttpRequest, HttpResponse, QueryDict
from django.urls import Resolver404, resolve

from distillery.devices import device_of

SALT = "distillery.kept_posts"
LASTS = timedelta(days=1)
NOT_KEPT = ("csrfmiddlewaretoken",)
GONE = "What was filled in is no longer here."
SECRET = "password"  # noqa: S105 - what the name of such a field holds, not a secret


class Lost(Exception):
    """The kept text is damaged, too old, or another tablet's."""


def keep(request: HttpRequest) -> str:
    """The posted form as signed text, with where it was sent; "" for one that is not kept.

    Signed is not hidden: whoever comes next can read the page. So a form with a password in it
    is typed again, and only what already waited behind it is passed on.
    """
    if any(SECRET in name for name in request.POST):
        return request.POST.get("kept", "")
    body = request.POST.copy()
    for name in NOT_KEPT:
        body.pop(name, None)
    kept = [_tablet(request), request.get_full_path(), body.urlencode()]
    return signing.dumps(kept, salt=SALT, compress=True)


def _tablet(request: HttpRequest) -> int | None:
    device = device_of(request)
    return device.pk if device else None


def put_back(request: HttpRequest, kept: str) -> None:
    """Make *request* the one kept on this tablet, asked by whoever asks now. Raises Lost."""
    try:
        tablet, address, body = signing.loads(kept, salt=SALT, max_age=LASTS)
        path, _, query = address.partition("?")
        request.resolver_match = resolve(path)
    except (signing.BadSignature, Resolver404, ValueError) as error:
        raise Lost(GONE) from error
    if tablet != _tablet(request):
        raise Lost(GONE)
    request.path = request.path_info = path
    request.META["QUERY_STRING"] = query
    request.GET = QueryDict(query)
    request.POST = QueryDict(body)
    forget_person(request)


def forget_person(request: HttpRequest) -> None:
    """Drop what was read of the person before, where another has taken the tablet."""
    for name in ("plant_membership", "plant_context"):
        request.__dict__.pop(name, None)


def send_on(request: HttpRequest) -> HttpResponse:
    """Answer *request* with the view that it now asks for."""
    match = request.resolver_match
    assert match is not None  # noqa: S101 - put_back has set it
    return match.func(request, *match.args, **match.kwargs)
