"""A form that was sent after the tablet had locked: kept, and answered once as whoever takes it.

The page holds only a signed name of it. Who filled it in goes on with it when they unlock; another
is asked first. A record's own key makes sending it twice harmless; what has none is answered once.
"""

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

from django.contrib.auth import get_user_model, logout
from django.core import signing
from django.http import HttpRequest, HttpResponse, QueryDict
from django.urls import Resolver404, resolve
from django.utils import timezone

from distillery.devices import device_of
from distillery.models import BottleCheck, Device, KeptForm, Reading, ReadingVoid
from ledger.models import Entry

SALT = "distillery.kept_posts"
LASTS = timedelta(days=1)
NOT_KEPT = ("csrfmiddlewaretoken",)
GONE = (
    "What was filled in is not on this page any more. Unless it was sent, it is shown on this "
    "tablet when the person who filled it in unlocks."
)
SECRET = "password"  # noqa: S105 - what the name of such a field holds, not a secret
WAS = "was"  # in the session of a locked tablet: the row of the person who was on it


class Lost(Exception):
    """The kept form's name is damaged, too old, or another tablet's."""


def lock(request: HttpRequest) -> None:
    """Log out; a form that is sent now is still of the person who was here."""
    was = request.user.pk
    logout(request)
    if was is not None:
        request.session[WAS] = was


def keep(request: HttpRequest) -> str:
    """Keep the posted form; its signed name, "" for one that is not kept.

    A form with a password in it is typed again, and only what already waited behind it is
    passed on.
    """
    device = device_of(request)
    if "kept" in request.POST or any(SECRET in name for name in request.POST):
        return request.POST.get("kept", "")
    if device is None:
        return ""
    body = request.POST.copy()
    for name in NOT_KEPT:
        body.pop(name, None)
    now = timezone.now()
    KeptForm.objects.filter(device=device, answered_at__lt=now - LASTS).delete()
    told = {
        "device": device, "filled_by": _filled_by(request), "answered_at": None,
        "address": request.get_full_path(), "body": body.urlencode(),
    }  # fmt: skip
    form = KeptForm.objects.filter(**told).first()  # a second tap keeps nothing new
    form = form or KeptForm.objects.create(**told, kept_at=now)
    return name_of(form)


def _filled_by(request: HttpRequest) -> Any:
    """Who is here, or was until the tablet locked; None where that is not known."""
    if request.user.is_authenticated:
        return request.user
    return get_user_model().objects.filter(pk=request.session.get(WAS, 0)).first()


def name_of(form: KeptForm) -> str:
    """The signed name by which a page tells of *form*."""
    return signing.dumps(form.pk, salt=SALT)


def named(request: HttpRequest, name: str) -> KeptForm:
    """The form of that name, kept on the tablet that asks. Raises Lost."""
    try:
        pk = int(signing.loads(name, salt=SALT, max_age=LASTS))
    except (signing.BadSignature, TypeError, ValueError) as error:
        raise Lost(GONE) from error
    rows = KeptForm.objects.filter(pk=pk, device=device_of(request))
    form = rows.select_related("filled_by", "device").first()
    if form is None:
        raise Lost(GONE)
    return form


def waiting_for(user: Any, device: Device | None) -> KeptForm | None:
    """The oldest form that *user* filled in on *device* and nobody sent; None for none.

    Whose it is may be unknown: then it is shown to whoever unlocks. What the tablet itself has
    sent by now, under the record's own key, waits no more.
    """
    rows = KeptForm.objects.filter(device=device, answered_at=None).order_by("kept_at", "pk")
    for form in rows.select_related("filled_by"):
        if form.filled_by_id in (user.pk, None) and not is_recorded(form):
            return form
    return None


def is_keyed(form: KeptForm) -> bool:
    """Whether it may be sent again: a key of its own makes that harmless."""
    return any(_keys(form))


def _keys(form: KeptForm) -> Iterator[str]:
    for name, value in QueryDict(form.body).items():
        if name == "key" or name.endswith("-key"):
            yield str(value)


def is_recorded(form: KeptForm) -> bool:
    """Whether something is recorded under a key of *form*."""
    keys = list(_keys(form))
    rows = (Entry, Reading, ReadingVoid, BottleCheck) if keys else ()
    of_plant = {"premises": form.device.premises_id, "key__in": keys}
    return any(kind.objects.filter(**of_plant).exists() for kind in rows)


def put_back(request: HttpRequest, form: KeptForm) -> None:
    """Make *request* the one that was kept, asked by whoever asks now. Raises Lost."""
    path, _, query = form.address.partition("?")
    try:
        request.resolver_match = resolve(path)
    except Resolver404 as error:
        raise Lost(GONE) from error
    request.path = request.path_info = path
    request.META["QUERY_STRING"] = query
    request.GET = QueryDict(query)
    request.POST = QueryDict(form.body)
    forget_person(request)


def forget_person(request: HttpRequest) -> None:
    """Drop what was read of the person before, where another has taken the tablet."""
    for name in ("plant_membership", "plant_context"):
        request.__dict__.pop(name, None)


def send_on(request: HttpRequest, form: KeptForm) -> HttpResponse | None:
    """The answer of the view that *request* now asks for; None where *form* was sent before.

    The door into the book opens its own transaction, so that the form is taken first, and given
    back where the view refuses it.
    """
    match = request.resolver_match
    assert match is not None  # noqa: S101 - put_back has set it
    rows = KeptForm.objects.filter(pk=form.pk)
    free = rows if is_keyed(form) else rows.filter(answered_at=None)
    taken = {"answered_at": timezone.now(), "answered_by": request.user.get_username()}
    if not free.update(**taken):
        return None
    led_to = None
    try:
        response: HttpResponse = match.func(request, *match.args, **match.kwargs)
        led_to = response.get("Location", "") if response.status_code < 400 else None
    finally:
        if led_to is None:
            rows.update(answered_at=form.answered_at, answered_by=form.answered_by)
        else:
            rows.update(led_to=led_to)
    return response
