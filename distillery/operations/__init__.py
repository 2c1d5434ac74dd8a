"""The registry of operations: every module of this folder that defines one is found by itself."""

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from distillery.operations.base import Operation

GROUPS = (
    "Materials and mash",
    "Distil",
    "Store",
    "Process and bottle",
    "Remove",
    "Count and correct",
)


@cache
def operations() -> dict[str, Operation]:
    """Every operation by its slug, in the order of the groups and then of their titles."""
    found = []
    for module in iter_modules(__path__):
        content = import_module(f"{__name__}.{module.name}")
        for value in vars(content).values():
            is_one = isinstance(value, type) and issubclass(value, Operation)
            if is_one and value.__module__ == content.__name__ and hasattr(value, "slug"):
                found.append(value())
    found.sort(key=lambda operation: (GROUPS.index(operation.group), operation.title))
    return {operation.slug: operation for operation in found}
