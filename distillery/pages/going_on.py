"""Where one goes on after unlocking a tablet: to where one was, or to a form that was kept."""

from typing import Any
from urllib.parse import urlencode

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import Resolver404, resolve, reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_http_methods

from distillery import by_pin, kept_posts
from distillery.devices import device_of
from distillery.models import KeptForm
from distillery.operations import operations
from distillery.pages import posted, told
from distillery.pages.people import member_for

ASIDE = "Set aside for {who}. It is shown here when {who} unlocks."
LATER = "It waits. It is shown again when you unlock."
DROPPED = "Thrown away. Nothing of it was recorded."
RECORDED = "It is in the book already: the tablet sent it as you unlocked."
TITLES = {
    "counts": "Open a count", "count-place": "Count a place", "count-barrels": "Count barrels",
    "count-drop": "Give a count up", "fill-row": "Fill barrels in a row",
    "readings": "Readings", "run-note": "A reading of a run", "entry-done": "Undo",
    "undo-reading": "Undo a reading", "entry-chain": "Take back", "reports:close": "Close a month",
    "devices": "Tablets",
}  # fmt: skip


def next_of(request: HttpRequest) -> str:
    """Where to go on, of our own pages only."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    ours = url_has_allowed_host_and_scheme(wanted, {request.get_host()}, request.is_secure())
    return wanted if ours and wanted.startswith("/") else settings.LOGIN_REDIRECT_URL


def on_to(going_to: str, kept: str = "") -> str:
    """The address of the form *kept*, before one goes on; *going_to* where there is none."""
    asked = {"kept": kept, "next": going_to}
    return f"{reverse('kept-form')}?{urlencode(asked)}" if kept else going_to


def go_on(
    request: HttpRequest, going_to: str, kept: str, *, is_agreed: bool = False
) -> HttpResponse:
    """To what this person filled in, to the question about another's, or to where one was.

    *is_agreed* says that the question was answered, and only the password was wanting.
    """
    if not kept:
        return redirect(after_unlocking(request, going_to))
    try:
        form = kept_posts.named(request, kept)
        if form.filled_by_id != request.user.pk and not is_agreed:
            return redirect(on_to(going_to, kept))
        return _send_on(request, form, kept)
    except kept_posts.Lost as lost:
        messages.warning(request, str(lost))
        return redirect(settings.LOGIN_REDIRECT_URL)


def after_unlocking(request: HttpRequest, going_to: str) -> str:
    """*going_to*, or first the form that this person filled in here and that was never sent."""
    device = device_of(request)
    if device is None or going_to.startswith(reverse("kept-form")):
        return going_to
    form = kept_posts.waiting_for(request.user, device)
    return on_to(going_to, kept_posts.name_of(form)) if form else going_to


def _send_on(request: HttpRequest, form: KeptForm, kept: str) -> HttpResponse:
    kept_posts.put_back(request, form)
    if by_pin.needs_password(request):
        return ask_password(request, kept)
    response = kept_posts.send_on(request, form)
    if response is None:
        form.refresh_from_db()
        return render(request, "who/kept_form.html", {"form": form, "title": title_of(form)})
    return response


def ask_password(request: HttpRequest, kept: str = "") -> HttpResponse:
    """The page that asks for the password before an act that binds the plant."""
    if request.method != "POST":
        return redirect(
            f"{reverse('password-again')}?{urlencode({'next': request.get_full_path()})}"
        )
    return render(request, "who/password.html", {"kept": kept or kept_posts.keep(request)})


class LogIn(LoginView):
    """By name and password; on a tablet, first to what waits there."""

    def get_success_url(self) -> str:
        """Where the page wanted to go, or the kept form before it."""
        return after_unlocking(self.request, super().get_success_url())


@require_http_methods(["GET", "HEAD", "POST"])
def kept_form(request: HttpRequest) -> HttpResponse:
    """What was filled in before the tablet locked, with what to do with it."""
    member_for(request)
    going_to = next_of(request)
    kept = request.POST.get("kept") or request.GET.get("kept", "")
    if not kept:
        is_here = going_to.startswith(reverse("kept-form"))
        return redirect("floor" if is_here else after_unlocking(request, going_to))
    try:
        form = kept_posts.named(request, kept)
        if request.POST.get("act") == "go-on":
            return _send_on(request, form, kept)
    except kept_posts.Lost as lost:
        messages.warning(request, str(lost))
        return redirect(going_to)
    if "act" in request.POST:
        return _leave(request, form, request.POST["act"], going_to)
    context = {
        "form": form, "title": title_of(form), "kept": kept, "next": going_to,
        "is_mine": form.filled_by_id == request.user.pk, "filled_in": filled_in(form),
        "is_open": form.answered_at is None,
    }  # fmt: skip
    return render(request, "who/kept_form.html", context)


def _leave(request: HttpRequest, form: KeptForm, act: str, going_to: str) -> HttpResponse:
    """Set aside for its person; or thrown away by them, and by nobody else."""
    is_mine = form.filled_by_id in (request.user.pk, None)
    words = LATER if is_mine else ASIDE.format(who=form.filled_by)
    if act == "drop" and is_mine and form.answered_at is None:
        words = RECORDED if kept_posts.is_recorded(form) else DROPPED
        form.delete()
    messages.info(request, words)
    return redirect(going_to)


def title_of(form: KeptForm) -> str:
    """What was filled in: the act's title."""
    path = form.address.partition("?")[0]
    try:
        match = resolve(path)
    except Resolver404:
        return path
    known = operations().get(match.kwargs.get("slug", ""))
    return known.title if known else TITLES.get(match.view_name, path)


def filled_in(form: KeptForm) -> list[Any]:
    """The lines of a record, so that who goes on with it sees what it is; none of another form."""
    match = resolve(form.address.partition("?")[0])
    known = operations().get(match.kwargs.get("slug", ""))
    return told.of_record(posted.record_of(known, QueryDict(form.body))) if known else []
