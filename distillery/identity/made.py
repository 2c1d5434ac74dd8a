"""What is known of spirits that are to bear a name; what is not known stays None."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

Years = tuple[int, int, int]  # years, months, days


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """Facts of a spirit. Proofs in degrees, shares in per cent, ages as (years, months, days).

    ``grains`` is per cent by weight of the mash by grain; ``parts`` is per cent of the proof
    gallons by what was blended, as "straight", "whisky", "neutral" or the name of a type.
    ``woods`` holds "new" (charred new oak), "other", "none"; ``added`` what went in after
    distillation beside water: "coloring", "flavoring", "blending", "sugar", "wine".
    """

    distilled_proof: Decimal | None = None
    entry_proof: Decimal | None = None
    bottled_proof: Decimal | None = None
    grains: Mapping[str, Decimal] | None = None
    parts: Mapping[str, Decimal] | None = None
    woods: frozenset[str] | None = None
    oak: Years | None = None
    new_oak: Years | None = None
    added: frozenset[str] | None = None
    sugar_g_per_l: Decimal | None = None
    citric_g_per_l: Decimal | None = None
    sugar_pct_weight: Decimal | None = None
    charcoal_oz_per_100_gal: Decimal | None = None
    method: str | None = None
    distillers: int | None = None
    distilled_on: tuple[date, ...] = field(default=())

    def value(self, fact: str) -> object:
        """A fact by its name; ``grains.corn`` and ``parts.straight`` look into the shares.

        A share that a known bill does not name is zero; None means nobody knows.
        """
        name, _, key = fact.partition(".")
        found = getattr(self, name)
        if not key or found is None:
            return found
        return found.get(key, Decimal(0))
