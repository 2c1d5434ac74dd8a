"""Every address of the project, found by walking the resolver, with samples for what varies."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from django.urls import URLPattern, URLResolver, get_resolver, reverse

# A part of an address that is not named here fails the walk: give it a sample when you add one.
SAMPLES = {
    "slug": "receive-material", "code": "BIN-1", "number": 1, "of_month": date(2026, 1, 1),
    "form": "production", "source": "domestic", "format": "json", "pk": 1,
    "kind": "samples",
    "day": date(2026, 1, 1), "secret": "no-such-secret",
    "span": "2026-01", "state": "CA", "act": "standard",
}  # fmt: skip
CODES = {
    "trace-lot": "G-1", "trace-csv": "G-1", "recall-sheet": "G-1",
    "lot": "G-1", "bench-work": "true-proof", "entry-slip": 3, "entry-gauge-record": 3,
    "bottling": "BR-3", "barrel": "B-1", "barrel-label": "B-1",
    "run": "RUN-1", "run-now": "RUN-1", "run-note": "RUN-1", "run-curve": "RUN-1",
    "ferment-curve": "WASH-1", "barrel-curve": "B-1",
}  # fmt: skip
# Which part of which form a figure is opened from.
PARTS = {"production": "I", "storage": ""}
OPEN = {
    "login", "logout", "reports:calendar-feed", "who", "lock", "emergency",
    "waiting", "offline", "service-worker", "manifest",
}  # fmt: skip
# Pages that lead on to another where they find one thing.
LEADS_ON = {"at", "kept-form"}
# Papers are of an entry with a gauge, number 3 of the small plant; see ``gauged`` in conftest.
PAPERS = {"entry-slip", "entry-gauge-record", "barrel-label", "barrel-labels", "barrel-curve"}
# Pages of a run, and the curve of a wash; see ``running`` in conftest.
RUNS = {"run", "run-now", "run-note", "run-curve", "ferment-curve"}
# Papers that were filed; see ``filed`` in conftest.
FILED = {"reports:filed", "reports:filed-paper"}
# Pages with a form of their own, and those that only the owner opens.
FORMS = {
    "record-operation",
    "readings",
    "fill-row",
    "entry-done",
    "reports:check-form",
    "reports:file",
    "reports:return-file",
    "reports:adjust",
    "reports:prepay",
    "reports:state-file",
    "reports:credit",
    "entry-chain",
    "counts",
    "count-place",
    "count-barrels",
    "password-again",
    "own-pin",
    "kept-form",
    "devices",
}
OWNERS = {
    "devices",
    "reports:check-form",
    "reports:file",
    "reports:return-file",
    "reports:adjust",
    "reports:prepay",
    "reports:state-file",
    "reports:credit",
}
# Pages of an open count, number 1; see ``walked`` in conftest.
COUNTS = {"count", "count-place", "count-barrels", "count-check", "count-drop", "count-sheet"}


@dataclass(frozen=True)
class Address:
    """One address: the name of its view, and a path that exists in the tests' small plant."""

    name: str
    path: str


def patterns(
    resolver: URLResolver | None = None, space: str = ""
) -> Iterator[tuple[str, URLPattern]]:
    """(name, pattern) of every address below *resolver*, the project's own unless told."""
    for one in (resolver or get_resolver()).url_patterns:
        if isinstance(one, URLResolver):
            inner = f"{space}{one.namespace}:" if one.namespace else space
            yield from patterns(one, inner)
        else:
            yield f"{space}{one.name}", one


def addresses() -> list[Address]:
    """Every address of our own pages; the admin guards its own (see its tests)."""
    found = {}
    for name, pattern in patterns():
        if name.startswith("admin:"):
            continue
        names = pattern.pattern.converters
        kwargs = {key: CODES.get(name, SAMPLES[key]) for key in names}
        if name == "reports:return-export":
            kwargs["format"] = "csv"
        if "source" in kwargs:
            kwargs["form"] = "storage"  # the one report that is made for each source
        path = reverse(name, kwargs=kwargs)
        if name == "reports:cell":
            path += f"?part={PARTS[kwargs['form']]}&row=0&column=b"
        found[path] = Address(name, path)
    return list(found.values())


def admin_paths() -> list[str]:
    """The admin's addresses that take no argument."""
    return [
        reverse(name)
        for name, one in patterns()
        if name.startswith("admin:") and one.name and not one.pattern.regex.groups
    ]
