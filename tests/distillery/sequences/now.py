"""What the plant holds at this step, and the dice that choose among it."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from random import Random
from typing import Any

from ledger.models import Entry, Holding, Lot, Vessel
from ledger.models.book import LIVE
from ledger.quantities import to_decimal
from tests.world import World

TANKS = ("tank", "tote", "receiver", "bottling_tank")
PARTS = (3, 10, 25, 33, 50, 80, 100, 100)


class Nothing(Exception):
    """The plant has nothing to do this act with now."""


@dataclass
class Now:
    """One step's view of the book: live holdings, and choices drawn from *dice*."""

    world: World
    dice: Random
    at: str
    number: int = field(default=0)

    @cached_property
    def holdings(self) -> list[Holding]:
        rows = Holding.objects.filter(LIVE, premises=self.world.premises).order_by("pk")
        return list(rows.select_related("lot__designation", "vessel"))

    @cached_property
    def vessels(self) -> list[Vessel]:
        return list(Vessel.objects.filter(premises=self.world.premises).order_by("pk"))

    def any(self, choices: Sequence[Any]) -> Any:
        """One of *choices*; raises Nothing when there is none."""
        if not choices:
            raise Nothing
        return self.dice.choice(list(choices))

    def some(self, choices: Sequence[Any], most: int = 3) -> list[Any]:
        """One to *most* of *choices*, each once; raises Nothing when there is none."""
        if not choices:
            raise Nothing
        return self.dice.sample(list(choices), min(len(choices), self.dice.randint(1, most)))

    def odd(self, one_in: int) -> bool:
        """True once in so many throws."""
        return self.dice.randrange(one_in) == 0

    def held(self, *accounts: str, kinds: Sequence[str] = (), stage: str = "") -> list[Holding]:
        """Live holdings of *accounts*, in vessels of *kinds*, of lots of *stage*."""
        return [
            row for row in self.holdings
            if row.account in accounts
            and (not kinds or row.vessel.kind in kinds)
            and (not stage or row.lot.stage == stage)
        ]  # fmt: skip

    def pick(self, *accounts: str, kinds: Sequence[str] = (), stage: str = "") -> Holding:
        """One of those; raises Nothing."""
        return self.any(self.held(*accounts, kinds=kinds, stage=stage))

    def bulk(self, *accounts: str, kinds: Sequence[str] = TANKS) -> Holding:
        """Spirits in a tank of *accounts*."""
        return self.any([row for row in self.held(*accounts, kinds=kinds) if row.wine_gallons > 50])

    def material(self, *kinds: str) -> Holding:
        """A material of one of *kinds* in its bin."""
        codes = {"grain": ("CORN", "RYE"), "yeast": ("YEAST",), "enzyme": ("ENZYME",),
                 "botanical": ("JUNIPER",), "sugar": ("SUGAR",), "bottle": ("BOTTLE",),
                 "closure": ("CLOSURE",), "carton": ("CARTON",)}  # fmt: skip
        wanted = {code for kind in kinds for code in codes[kind]}
        rows = self.held("materials")
        return self.any([row for row in rows if not wanted or row.lot.product in wanted])

    def empty(self, *kinds: str) -> str:
        """The code of a vessel of *kinds* that holds nothing."""
        full = {row.vessel_id for row in self.holdings}
        rows = [row for row in self.vessels if row.kind in kinds and row.pk not in full]
        return str(self.any(rows).code)

    def emptied(self, kind: str) -> list[str]:
        """The codes of vessels of *kind* that held something once and are empty now."""
        full = {row.vessel.code for row in self.holdings}
        rows = Holding.objects.filter(premises=self.world.premises, vessel__kind=kind)
        codes = rows.order_by("pk").values_list("vessel__code", flat=True)
        return [code for code in dict.fromkeys(codes) if code not in full]

    def into(self, account: str, *kinds: str) -> str:
        """The code of a vessel that is empty, or holds bulk of *account* already."""
        other = {row.vessel_id for row in self.holdings if row.account != account}
        rows = [row for row in self.vessels if row.kind in kinds and row.pk not in other]
        return str(self.any(rows).code)

    def part(self, hundredths: int) -> int:
        """Some of *hundredths*, at least one."""
        return max(1, hundredths * self.any(PARTS) // 100)

    def quantity(self, row: Holding, most: int = 10**9) -> str:
        """Some of a material, in its unit, like ``240.00 lb``."""
        unit = "" if row.lot.unit == "each" else f" {row.lot.unit}"
        amount = min(most, self.part(row.amount))
        return f"{amount if row.lot.unit == 'each' else to_decimal(amount)}{unit}"

    def used(self, row: Holding, most: int) -> dict[str, str]:
        """A row of a material used in another act, no more than *most* in the book's measure."""
        return {"lot": row.lot.code, "vessel": row.vessel.code,
                "quantity": self.quantity(row, most)}  # fmt: skip

    def measure(self, hundredths: int) -> str:
        return f"{to_decimal(hundredths)} gal"

    def gauge(self, row: Holding, *, part: int = 100, off: int = 3) -> dict[str, str]:
        """A gauge near the book's figures of a share of *row*, a few tenths off."""
        wine = max(20, row.wine_gallons * part // 100)
        proof = row.proof_gallons * 1000 // row.wine_gallons if row.wine_gallons else 1000
        proof = min(1950, max(10, proof + self.dice.randint(-off, off)))
        wine = max(20, wine * (1000 + self.dice.randint(-off, off)) // 1000)
        found = gauge(wine, proof)
        if row.vessel.kind == "barrel":  # 27 CFR 19.284(a)
            found["why_not_weighed"] = "no scale here"
        return found

    def entries(self) -> list[Entry]:
        rows = Entry.objects.filter(premises=self.world.premises, reverses=None)
        return list(rows.order_by("-number")[:12])

    def past_lots(self, stage: str) -> list[Lot]:
        rows = Lot.objects.filter(premises=self.world.premises, stage=stage)
        return list(rows.order_by("-pk")[:6])


def gauge(wine: int, proof_tenths: int) -> dict[str, str]:
    """A gauge by volume at 60 °F from hundredths of a gallon and tenths of a degree."""
    return {
        "volume": f"{to_decimal(wine)} gal", "temperature": "60 F",
        "proof": f"{proof_tenths // 10}.{proof_tenths % 10}",
    }  # fmt: skip
