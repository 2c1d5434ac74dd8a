"""What makes the tablet keep the app: the manifest, and the worker with what it holds on to."""

import re
from collections.abc import Iterable
from hashlib import sha256
from json import dumps
from pathlib import Path

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.http import require_safe

WORKER = ("distillery/tablet/worker_pages.js", "distillery/tablet/worker.js")
OPEN_PAGES = ("emergency",)  # nobody's: what they say is kept as of the last time here
RECORDING = ("/record/", "/readings/", "/runs/")  # where a form's own post is records on their way
SHELL_PAGES = {"waiting": "tablet/waiting.html", "offline": "tablet/offline.html"}
LINKED = re.compile(r'(?:href|src)="([^"]+\.(?:css|js|svg|png))"')
HASHED = re.compile(r"\.[0-9a-f]{12}(\.\w+)\Z")


@login_not_required
@require_safe
def manifest(request: HttpRequest) -> HttpResponse:
    """The web app manifest (W3C), so that the tablet can install the book."""
    icons = [
        {"src": static(f"distillery/icons/icon-{size}.png"), "sizes": f"{size}x{size}",
         "type": "image/png", "purpose": purpose}
        for size, purpose in ((192, "any"), (512, "any"), (512, "maskable"))
    ]  # fmt: skip
    told = {
        "id": "/", "name": "Plant book", "short_name": "Plant book", "start_url": "/",
        "scope": "/", "display": "standalone", "lang": "en", "icons": icons,
        "background_color": "#fbfaf6", "theme_color": "#0b5f63",
    }  # fmt: skip
    return JsonResponse(told, content_type="application/manifest+json")


@login_not_required
@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker, at the root of our own host so that it serves every page.

    Its version is a digest of all that it keeps: when any of it changes, so does the worker.
    """
    shells = {reverse(name): render_to_string(page) for name, page in SHELL_PAGES.items()}
    linked = sorted({path for text in shells.values() for path in LINKED.findall(text)})
    code = "\n".join(_content(path).decode() for path in WORKER)
    version = _digest([code, *shells.values()], linked)
    open_pages = [reverse(name) for name in OPEN_PAGES]
    told = {
        "version": version, "shell": [*shells, *linked, *open_pages], "open": open_pages,
        "waiting": reverse("waiting"), "offline": reverse("offline"),
        "keep": reverse("tablet-keep"), "records": RECORDING, "acts": [reverse("undo-reading")],
        "leaving": [reverse("logout"), reverse("lock")],
    }  # fmt: skip
    body = f"const BOOK = {dumps(told)};\n{code}"
    response = HttpResponse(body, content_type="text/javascript; charset=utf-8")
    response["Cache-Control"] = "no-cache"
    return response


def _digest(texts: Iterable[str], linked: Iterable[str]) -> str:
    digest = sha256()
    for text in texts:
        digest.update(text.encode())
    for path in linked:
        digest.update(_content(path.removeprefix(settings.STATIC_URL)))
    return digest.hexdigest()[:16]


def _content(name: str) -> bytes:
    """The bytes of a static file by its name, with or without the hash it is served under."""
    found = finders.find(name) or finders.find(HASHED.sub(r"\1", name))
    return Path(str(found)).read_bytes() if found else b""
