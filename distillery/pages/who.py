"""Change places at a shared tablet: tap the name, type the code."""

from typing import Any
from urllib.parse import urlencode

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import authenticate, login, logout
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from distillery import by_pin, kept_posts
from distillery.devices import COOKIE, device_of, people_of, remember, row_named
from distillery.models import Device
from distillery.pages.going_on import go_on, next_of, on_to
from distillery.pages.people import member_for
from distillery.pins import PinRefused, set_pin, try_pin

BACKEND = "django.contrib.auth.backends.ModelBackend"
PASSWORD_WRONG = "The password is wrong. Capital letters count."  # noqa: S105 - a sentence
NOT_ALIKE = "The two codes are not alike. Type the same digits twice."


def address(going_to: str) -> str:
    """The page of names, from which one goes on to *going_to*."""
    return f"{reverse('who')}?{urlencode({'next': going_to})}"


@login_not_required
@sensitive_post_parameters("code")
@require_http_methods(["GET", "HEAD", "POST"])
def who(request: HttpRequest) -> HttpResponse:
    """The names; with one chosen, the keys; with the code, on to where one was."""
    device = device_of(request)
    if device is None:
        return redirect("login")
    chosen = request.POST.get("person", "")
    person = people_of(device).filter(pk=row_named(chosen)).first()
    if person is None:
        return names(request, device, kept=request.POST.get("kept", ""))
    if not hasattr(person, "pin"):  # no digits open anything, as the page of names says
        return redirect(_by_password(request))
    if "code" not in request.POST:
        return _keys(request, person)
    try:
        try_pin(person, request.POST["code"], device=device, now=timezone.now())
    except PinRefused as refused:
        return _keys(request, person, wrong=str(refused))
    return _switch(request, person, device)


def names(request: HttpRequest, device: Device, *, kept: str = "") -> HttpResponse:
    """Everybody who can be on *device*, and what is kept meanwhile."""
    people = people_of(device).select_related("pin")
    told = {"device": device, "people": people, **_told(request, kept)}
    return render(request, "who/names.html", told)


def _keys(request: HttpRequest, person: Any, *, wrong: str = "") -> HttpResponse:
    told = {"person": person, "wrong": wrong, "digits": "123456789"}
    return render(
        request, "who/keys.html", {**told, **_told(request, request.POST.get("kept", ""))}
    )


def _told(request: HttpRequest, kept: str) -> dict[str, str]:
    """What is passed on from page to page, and where a log-in by password leads."""
    return {"kept": kept, "next": next_of(request), "by_password": _by_password(request, kept)}


def _by_password(request: HttpRequest, kept: str = "") -> str:
    """The page that asks for name and password, and leads to where one was or what is kept."""
    going_to = on_to(next_of(request), kept or request.POST.get("kept", ""))
    return f"{reverse('login')}?{urlencode({'next': going_to}, safe='/')}"


def _switch(request: HttpRequest, person: Any, device: Device) -> HttpResponse:
    going_to, kept = next_of(request), request.POST.get("kept", "")
    logout(request)
    request.opens_by_code = True  # type: ignore[attr-defined]
    login(request, person, backend=BACKEND)
    request.session[by_pin.BY_PIN] = device.pk
    kept_posts.forget_person(request)
    response = go_on(request, going_to, kept)
    remember(response, request.COOKIES[COOKIE])
    return response


@login_not_required
@require_POST
def lock(request: HttpRequest) -> HttpResponse:
    """Leave the tablet to the next person."""
    going_to = next_of(request)
    is_device = device_of(request) is not None
    kept_posts.lock(request)
    return redirect(address(going_to) if is_device else "login")


@sensitive_post_parameters("password")
@require_http_methods(["GET", "HEAD", "POST"])
def password_again(request: HttpRequest) -> HttpResponse:
    """The password of whoever is here; then on to what asked for it."""
    member_for(request)
    kept = request.POST.get("kept", "")
    told = {"kept": kept, "next": next_of(request)}
    if request.method != "POST":
        return render(request, "who/password.html", told)
    if not _is_password(request):
        return render(request, "who/password.html", {**told, "wrong": PASSWORD_WRONG})
    by_pin.given(request)
    return go_on(request, told["next"], kept, is_agreed=True)


def _is_password(request: HttpRequest) -> bool:
    """Whether the password typed is this person's; wrong ones count for the lock-out."""
    name = request.user.get_username()
    found = authenticate(request, username=name, password=request.POST.get("password", ""))
    return found is not None and found.pk == request.user.pk


@sensitive_post_parameters("password", "code", "again")
@require_http_methods(["GET", "HEAD", "POST"])
def own_pin(request: HttpRequest) -> HttpResponse:
    """A person's own code, set with their password."""
    member_for(request)
    wrong: dict[str, str] = {}
    if request.method == "POST":
        wrong = _set(request)
        if not wrong:
            messages.info(request, "Your code is set. It opens the plant's own tablets.")
            return redirect(settings.LOGIN_REDIRECT_URL)
    return render(request, "who/own_pin.html", {"wrong": wrong, "problems": list(wrong.items())})


def _set(request: HttpRequest) -> dict[str, str]:
    """Set the code, or tell what is wrong by field."""
    code = request.POST.get("code", "")
    if not _is_password(request):
        return {"password": PASSWORD_WRONG}
    if code != request.POST.get("again", ""):
        return {"again": NOT_ALIKE}
    try:
        set_pin(request.user, code, now=timezone.now())
    except ValidationError as error:
        return {"code": error.messages[0]}
    return {}
