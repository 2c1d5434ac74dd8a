"""What a lot is made of as 27 CFR 19.246 sees it: spirits, eligible wine, eligible flavors.

Read from the book: wine mixed in and flavorings used by the batch and the lots it came from.
Alcohol of wine or flavor that nobody marked as eligible counts as spirits, so it earns nothing.
Water, losses and gains change no share: a batch is what went into it (19.246(a)).
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from django.db.models import Sum

from ledger.models import Lot, Movement, Premises
from ledger.quantities import to_decimal
from reports.effective_rates import Batch, Wine
from reports.models import EligibleContent

TENTH = Decimal("0.1")
# 26 U.S.C. 5041(b)(1)-(3), still wine, as amended from 2018 (from memory for the 16 per cent):
# (up to and with per cent of alcohol by volume, dollars a wine gallon). Above 24 it is spirits.
WINE_RATES = (
    (Decimal(16), Decimal("1.07")), (Decimal(21), Decimal("1.57")), (Decimal(24), Decimal("3.15")),
)  # fmt: skip
FLAVOR, WINE = "flavor", "mix_wine"


@dataclass(frozen=True, slots=True)
class Ingredient:
    """Wine or flavor in a lot: whose lot, by how much, and whether it is marked as eligible."""

    lot: str
    name: str
    kind: str
    wine_gallons: Decimal
    proof_gallons: Decimal
    is_eligible: bool

    @property
    def abv(self) -> Decimal:
        """Per cent of alcohol by volume, to a tenth."""
        if not self.wine_gallons:
            return Decimal("0.0")
        found = self.proof_gallons * 50 / self.wine_gallons
        return found.quantize(TENTH, ROUND_HALF_UP)

    @property
    def counts(self) -> bool:
        """Whether its alcohol is kept apart from spirits."""
        return self.is_eligible and (self.kind == FLAVOR or wine_rate(self.abv) is not None)


@dataclass(frozen=True, slots=True)
class Content:
    """Proof gallons from spirits, and each wine or flavor."""

    spirits: Decimal = Decimal(0)
    ingredients: tuple[Ingredient, ...] = ()

    @property
    def proof_gallons(self) -> Decimal:
        """All of it."""
        return self.spirits + sum((one.proof_gallons for one in self.ingredients), Decimal(0))

    @property
    def batch(self) -> Batch:
        """It as the formula takes it, to a tenth; what is not eligible counts as spirits."""
        counted = [one for one in self.ingredients if one.counts]
        kept = sum((one.proof_gallons for one in counted), Decimal(0))
        flavors = sum((one.proof_gallons for one in counted if one.kind == FLAVOR), Decimal(0))
        wines = tuple(
            Wine(_tenth(one.wine_gallons), one.abv, wine_rate(one.abv) or Decimal(0))
            for one in counted
            if one.kind == WINE
        )
        return Batch(_tenth(self.proof_gallons - kept), wines, _tenth(flavors))

    def part(self, share: Decimal) -> "Content":
        """The same, *share* of it (0 to 1)."""
        rows = tuple(
            Ingredient(one.lot, one.name, one.kind, one.wine_gallons * share,
                       one.proof_gallons * share, one.is_eligible)
            for one in self.ingredients
        )  # fmt: skip
        return Content(self.spirits * share, rows)


def wine_rate(abv: Decimal) -> Decimal | None:
    """Dollars a wine gallon of still wine at *abv*; None above 24 per cent, which is spirits."""
    return next((rate for most, rate in WINE_RATES if abv <= most), None)


def _tenth(value: Decimal) -> Decimal:
    return value.quantize(TENTH, ROUND_HALF_UP)


def eligible_lots(premises: Premises) -> frozenset[str]:
    """The lots whose newest mark says eligible."""
    rows = EligibleContent.objects.filter(premises=premises).values_list("lot", "is_eligible")
    newest = dict(rows)
    return frozenset(lot for lot, is_eligible in newest.items() if is_eligible)


@dataclass
class Contents:
    """Contents of lots of one plant, each read once."""

    premises: Premises
    known: dict[int, Content] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._eligible = eligible_lots(self.premises)

    def of(self, lot: Lot) -> Content:
        """What went into *lot*. One that came from a single lot has that one's batch whole."""
        return self._of(lot.pk)

    def _of(self, key: int) -> Content:
        if key in self.known:
            return self.known[key]
        own, mixed, parents = self._inflows(key)
        if len(parents) == 1 and not (own or mixed):
            found = self._of(next(iter(parents)))
        else:
            found = _joined(own, mixed, [(self._of(p), proof) for p, proof in parents.items()])
        self.known[key] = found
        return found

    def _inflows(self, key: int) -> tuple[Decimal, list[Ingredient], dict[int, Decimal]]:
        """(proof gallons that entered the book as this lot, wines and flavors, other lots)."""
        rows = Movement.objects.filter(to_lot=key).exclude(from_account="gain")
        grouped = rows.values(
            "from_lot", "from_lot__code", "from_lot__name", "from_account", "purpose"
        ).annotate(wine=Sum("wine_gallons"), proof=Sum("proof_gallons"))
        own, mixed = Decimal(0), []
        parents: dict[int, Decimal] = defaultdict(Decimal)
        for row in grouped.order_by("from_lot", "purpose"):
            proof = to_decimal(row["proof"])
            if not proof or (row["from_lot"] == key and not _is_source(row)):
                continue
            if row["purpose"] in (FLAVOR, WINE):
                mixed.append(self._ingredient(row))
            elif row["from_lot"] in (None, key):
                own += proof
            else:
                parents[row["from_lot"]] += proof
        return own, mixed, dict(parents)

    def _ingredient(self, row: Mapping[str, Any]) -> Ingredient:
        return Ingredient(
            row["from_lot__code"], row["from_lot__name"], row["purpose"], to_decimal(row["wine"]),
            to_decimal(row["proof"]), row["from_lot__code"] in self._eligible,
        )  # fmt: skip


def _is_source(row: Mapping[str, Any]) -> bool:
    """Whether a lot enters the book by this leg, its own lot standing on both sides."""
    return row["from_account"] in ("opening", "other_plant", "distilled", "customs", "write_in")


def _joined(
    own: Decimal, mixed: Iterable[Ingredient], parents: Iterable[tuple[Content, Decimal]]
) -> Content:
    spirits, rows = own, list(mixed)
    for content, proof in parents:
        whole = content.proof_gallons
        part = content.part(proof / whole) if whole else Content(proof)
        spirits += part.spirits
        rows += part.ingredients
    return Content(spirits, tuple(rows))
