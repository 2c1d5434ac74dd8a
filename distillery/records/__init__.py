"""The record set: every record of 27 CFR part 19 for any days, found by itself.

A module of this folder, or of the folder ``records`` of another app, that declares a ``Kind``
adds a record. Its rows are read from entries, movements, holdings and slips; nothing is kept
for a record alone.
"""

from functools import cache
from importlib import import_module
from importlib.util import find_spec
from pkgutil import iter_modules

from django.apps import apps

from distillery.records.base import Kind


@cache
def kinds() -> dict[str, Kind]:
    """Every kind of record by its slug, in the order of the sections."""
    found = {
        value.slug: value
        for app in apps.get_app_configs()
        for value in _declared(f"{app.name}.records")
    }
    return dict(sorted(found.items(), key=lambda pair: (_order(pair[1].section), pair[0])))


def _declared(folder: str) -> list[Kind]:
    if folder.startswith("django") or find_spec(folder) is None:
        return []
    package = import_module(folder)
    modules = [import_module(f"{folder}.{one.name}") for one in iter_modules(package.__path__)]
    return [value for module in modules for value in vars(module).values()
            if isinstance(value, Kind)]  # fmt: skip


def _order(section: str) -> tuple[int, ...]:
    """The first section named, as numbers: ``27 CFR 19.584(c)`` before ``27 CFR 19.59``."""
    number = section.removeprefix("27 CFR ").split("(")[0].split(",")[0].split(" ")[0]
    return tuple(int(part) for part in number.split(".") if part.isdigit())
