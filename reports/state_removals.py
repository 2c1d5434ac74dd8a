"""What left for which State: removals on determination of tax, with gallons, liters, packages.

A bottle's gallons are liters × 0.264172 carried unrounded, so that cases add up (27 CFR 19.582).
Stock moved into the plant's own tasting room or shop is the plant's own State's.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from json import loads
from typing import Any

from django.db.models import Q

from ledger.accounts import SPIRITS
from ledger.classes import CLASSES
from ledger.gauging.by_count import WINE_GALLONS_PER_LITER
from ledger.models import Movement, Period, Premises
from ledger.quantities import to_decimal
from reports.state_names import state_of

ML = Decimal(1000)
THOUSANDTH = Decimal("0.001")


@dataclass(frozen=True, slots=True)
class StateRemoval:
    """One lot on one document: where it went, its strength, and how much by each measure.

    ``state`` is two letters, the words as typed where they name no State, or "" where none was
    told. ``packages`` are bottles, or the packages of what is not bottled; ``package_ml`` the
    size of a bottle.
    """

    day: date
    document: str
    entry: int
    state: str
    lot: str
    name: str
    family: str
    proof: Decimal
    wine_gallons: Decimal
    liters: Decimal
    packages: int
    package_ml: int | None


_FIELDS = (
    "entry__number", "entry__document", "entry__happened_at", "entry__form",
    "entry__reverses__number", "entry__reverses__document", "entry__reverses__happened_at",
    "entry__reverses__form", "entry__corrects__number", "entry__corrects__document",
    "entry__corrects__happened_at", "entry__corrects__form", "to_account", "from_vessel_kind",
    "from_lot__code", "from_lot__name", "from_lot__unit", "from_lot__bottle_ml",
    "from_lot__label_proof", "from_designation__class_code", "amount", "wine_gallons",
    "proof_gallons", "proof",
)  # fmt: skip


def removals(premises: Premises, *, begin: date, end: date) -> list[StateRemoval]:
    """Every removal that counts in the months from *begin* to *end*, in the order of the book.

    A correction or a cancelled invoice has the State, the day and the document of what it takes
    back, and counts in the month it is booked or amended in, as the federal tax does.
    """
    months = Period.objects.filter(premises=premises, month__gte=begin, month__lte=end)
    keys = list(months.values_list("pk", flat=True))
    counted = Q(amends__in=keys) | Q(amends=None, period__in=keys)
    rows = Movement.objects.filter(
        counted, from_account__in=SPIRITS, to_account__in=("tax_determined", "taxpaid"),
        purpose="remove",
    ).exclude(from_designation__class_code="wine")  # fmt: skip
    found = rows.order_by("entry__happened_at", "entry__number", "leg").values(*_FIELDS)
    own = own_state(premises)
    return [_removal(row, premises, own) for row in found]


def own_state(premises: Premises) -> str:
    """The State the plant is in; "" where its set-up does not say."""
    plant = getattr(premises, "plant", None)
    return plant.state if plant else ""


def _origin(row: dict[str, Any], name: str) -> Any:
    """A fact of the removal that the entry takes back or corrects, else of the entry."""
    for path in ("entry__reverses", "entry__corrects"):
        if row[f"{path}__number"]:
            return row[f"{path}__{name}"]
    return row[f"entry__{name}"]


def _state(row: dict[str, Any], own: str) -> str:
    told = state_of(str(loads(_origin(row, "form")).get("consignee_state") or ""))
    return told or (own if row["to_account"] == "taxpaid" else "")


def _removal(row: dict[str, Any], premises: Premises, own: str) -> StateRemoval:
    number = _origin(row, "number")
    size = row["from_lot__bottle_ml"] if row["amount"] else None
    liters, gallons = _volumes(row, size)
    kind = CLASSES.get(row["from_designation__class_code"] or "")
    return StateRemoval(
        _origin(row, "happened_at").astimezone(premises.zone).date(),
        _origin(row, "document") or f"entry {number}", row["entry__number"], _state(row, own),
        row["from_lot__code"] or "", row["from_lot__name"] or "", kind.family if kind else "",
        _proof(row), gallons, liters, _packages(row, size), size,
    )  # fmt: skip


def _volumes(row: dict[str, Any], size: int | None) -> tuple[Decimal, Decimal]:
    """(liters, wine gallons): bottles by their size, bulk by the book."""
    if size:
        liters = row["amount"] * Decimal(size) / ML
        return liters, liters * WINE_GALLONS_PER_LITER
    gallons = to_decimal(row["wine_gallons"])
    return (gallons / WINE_GALLONS_PER_LITER).quantize(THOUSANDTH, ROUND_HALF_UP), gallons


def _proof(row: dict[str, Any]) -> Decimal:
    """Of bottles by the label, of bulk as gauged, else by its gallons."""
    tenths = row["from_lot__label_proof"] if row["from_lot__bottle_ml"] else row["proof"]
    if tenths:
        return Decimal(tenths) / 10
    if not row["wine_gallons"]:
        return Decimal(0)
    proof = Decimal(100 * row["proof_gallons"]) / row["wine_gallons"]
    return proof.quantize(Decimal("0.1"), ROUND_HALF_UP)


def _packages(row: dict[str, Any], size: int | None) -> int:
    if size or row["from_lot__unit"] == "each":
        return int(row["amount"])
    if row["from_vessel_kind"] == "barrel":
        return 1 if row["wine_gallons"] > 0 else -1
    return 0


def states_in(rows: Iterable[StateRemoval]) -> list[str]:
    """The States that *rows* went to, those without a name of a State last."""
    found = {row.state for row in rows}
    return sorted(found, key=lambda state: (len(state) != 2, state == "", state))
