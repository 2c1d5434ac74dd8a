"""Rows of a record that name bottles by lot, store, cases and bottles."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottled import in_store
from distillery.forms import LotField, Part, QuantityField, TextField, VesselField
from ledger.looking import Held, Look
from ledger.models import Lot
from ledger.plan import NewLot


class BottlesPart(Part):
    """Cases or bottles of one lot out of one store."""

    lot = LotField("bottled", label="Lot")
    store = VesselField("store", required=False, label="Store, if the lot is in several")
    cases = QuantityField("count", required=False, label="Cases")
    bottles = QuantityField("count", required=False, label="Bottles")
    serials = TextField(max_length=400, label="Case numbers, like 41-43, if kept")

    def clean(self) -> dict[str, Any]:
        """At least one bottle."""
        data = super().clean() or {}
        data["cases"], data["bottles"] = int(data.get("cases") or 0), int(data.get("bottles") or 0)
        if not self.errors and not (data["cases"] or data["bottles"]):
            raise ValidationError("Give cases or bottles, like 30.")
        return data


def bottles_of(row: dict[str, Any], per_case: int | None) -> int:
    """The bottles of a cleaned row."""
    bottles: int = row["cases"] * (per_case or 0) + row["bottles"]
    return bottles


def bottles_by_place(
    rows: list[dict[str, Any]], look: Look, *, account: str = "finished"
) -> list[tuple[Held, int]]:
    """Bottles by holding; rows of the same lot and store are taken together."""
    sums: dict[tuple[str, str], tuple[Held, int]] = {}
    for row in rows:
        held = in_store(look, row["lot"], row["store"], account=account)
        key = held.lot.code, held.vessel.code
        sums[key] = held, sums.get(key, (held, 0))[1] + bottles_of(row, row["lot"].per_case)
    return list(sums.values())


def told_count(lot: Lot | NewLot, bottles: int) -> str:
    """``30 cases and 2 bottles``."""
    cases, rest = divmod(bottles, lot.per_case or bottles + 1)
    words = [
        f"{number:,} {name}{'' if number == 1 else 's'}"
        for number, name in ((cases, "case"), (rest, "bottle"))
        if number
    ]
    return " and ".join(words)
