"""The bench: working figures that are not recorded. Every calculation here is found by itself."""

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from distillery.bench.base import Calculation

GROUPS = ("Gauge", "Reduce and blend", "Strength and weight")


@cache
def calculations() -> dict[str, Calculation]:
    """Every calculation by its slug, in the order of the groups and then of their titles."""
    found = []
    for module in iter_modules(__path__):
        content = import_module(f"{__name__}.{module.name}")
        for value in vars(content).values():
            is_one = isinstance(value, type) and issubclass(value, Calculation)
            if is_one and value.__module__ == content.__name__ and hasattr(value, "slug"):
                found.append(value())
    found.sort(key=lambda one: (GROUPS.index(one.group), one.title))
    return {one.slug: one for one in found}
