"""What stands in the plant, as plain rows: the same before an act and once it is taken back."""

from collections import Counter
from typing import Any

from django.apps import apps
from django.db.models import Model

from distillery.models import Barrel, Reading, VesselSheet
from ledger.models import FlowTotal, Holding, Movement, Vessel
from ledger.models.book import LIVE
from tests.world import World

QUANTITIES = ("amount", "wine_gallons", "proof_gallons")
# Changed in place by some acts, and changed back.
LISTS: tuple[type[Model], ...] = (Vessel, VesselSheet, Barrel)


def standing(world: World) -> dict[str, Any]:
    """Holdings, sums of each flow as the reports read them, lists, and rows beside the book."""
    return {
        "holdings": _rows(Holding.objects.filter(LIVE), "account", "lot", "vessel", *QUANTITIES),
        "flows": _flows(),
        "readings": _rows(Reading.objects.standing(), "pk"),
        **{one.__name__: _rows(one.objects.all(), *_names(one)) for one in LISTS},
        **{one.__name__: _counting(one) for one in _voidable()},
    }


def _rows(rows: Any, *names: str) -> set[tuple]:
    return set(rows.values_list(*names))


def _counting(model: type[Model]) -> set[tuple]:
    return _rows(model.objects.filter(is_void=False), *_names(model))


def _names(model: type[Model]) -> list[str]:
    return [field.attname for field in model._meta.concrete_fields]


def _voidable() -> list[type[Model]]:
    models = apps.get_app_config("distillery").get_models()
    return [one for one in models if "is_void" in _names(one)]


def _flows() -> dict[tuple, tuple[int, int, int]]:
    """Net quantities by what a line of a report asks of a movement; what comes to nothing not."""
    totals: dict[str, Counter] = {name: Counter() for name in QUANTITIES}
    rows = Movement.objects.values_list("period", *FlowTotal.KEY, *QUANTITIES)
    for *key, amount, wine, proof in rows:
        for name, figure in zip(QUANTITIES, (amount, wine, proof), strict=True):
            totals[name][tuple(key)] += figure
    keys = totals["amount"].keys()
    found = {key: tuple(totals[name][key] for name in QUANTITIES) for key in keys}
    return {key: sums for key, sums in found.items() if any(sums)}
