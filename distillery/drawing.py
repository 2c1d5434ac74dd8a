"""What is drawn from a vessel: all or part of it, by gauge, by volume, or by the book."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from distillery.plans import gallons, loss_or_gain, pg, place, tenths
from ledger.errors import BadFact
from ledger.gauging import Gauge
from ledger.looking import Held
from ledger.models import Vessel
from ledger.plan import Leg, Place, Question
from ledger.quantities import to_hundredths

BULK = ("tank", "tote", "bottling_tank", "receiver")


@dataclass(frozen=True, slots=True)
class Draw:
    """Hundredths drawn from one holding; ``is_whole`` means the vessel is empty afterwards."""

    held: Held
    wine: int
    proof: int
    strength: int | None = None
    is_whole: bool = False

    def leg(self, to: Place, purpose: str, **options: Any) -> Leg:
        """The movement of what was drawn."""
        return Leg(
            place(self.held), to, purpose, 0, self.wine, self.proof, proof=self.strength, **options
        )

    def rest(self) -> tuple[Leg, ...]:
        """Once the vessel is empty: what the book has beyond the gauge is lost, or gained.

        A barrel's loss since its fill is found at its dump, a tank's when it is emptied
        (27 CFR 19.462(a)); spirits not yet gauged for production are only regauged.
        """
        if not self.is_whole:
            return ()
        return loss_or_gain(
            place(self.held), wine=self.wine - self.held.wine_gallons,
            proof=self.proof - self.held.proof_gallons, purpose=loss_purpose(self.held),
        )  # fmt: skip


def loss_purpose(held: Held) -> str:
    """Under which purpose a loss found on emptying is booked."""
    if held.account == "production":
        return "regauge"
    return "dump" if held.vessel.kind == Vessel.Kind.BARREL else "empty"


def share(held: Held, wine: int) -> int:
    """Proof gallons in *wine* hundredths of a gallon of *held*, by its book strength, half up."""
    if held.wine_gallons <= 0:
        raise BadFact(f"The book has no gallons in {held.vessel.code} to take a part of.")
    return (2 * held.proof_gallons * wine + held.wine_gallons) // (2 * held.wine_gallons)


def draw(
    held: Held,
    *,
    gauge: Gauge | None = None,
    volume_gal: Decimal | None = None,
    is_whole: bool = False,
    field: str = "gauge",
) -> Draw:
    """What leaves *held*: the gauge, or a volume at book strength, or all of it by the book.

    *is_whole* with a gauge empties the vessel, and the difference is booked. Raises BadFact
    when neither a quantity nor "all" is given.
    """
    if gauge is not None:
        return Draw(held, *gallons(gauge), tenths(gauge.proof), is_whole)
    if is_whole:
        return Draw(held, held.wine_gallons, held.proof_gallons, held.proof_tenths, is_whole)
    if volume_gal is None:
        raise BadFact(
            f"Say how much was taken from {held.vessel.code}, or that it was emptied.", field=field
        )
    wine = to_hundredths(volume_gal)
    return Draw(held, wine, share(held, wine), held.proof_tenths)


def gain_question(draws: Iterable[Draw]) -> tuple[Question, ...]:
    """A question when an emptied vessel held more proof gallons than the book has."""
    more = {
        one.held.vessel.code: one.proof - one.held.proof_gallons for one in draws if one.is_whole
    }
    return more_question(more)


def more_question(more: dict[str, int]) -> tuple[Question, ...]:
    """The question for gauges above the book: {vessel code: proof gallons in hundredths}."""
    told = [f"{code} by {pg(proof)}" for code, proof in more.items() if proof > 0]
    if not told:
        return ()
    text = f"The gauge finds more than the book has: {', '.join(told)}. Book a gain?"
    return (Question("gauge-gain", text),)


def allocate(total: int, shares: Sequence[int]) -> list[int]:
    """*total* in whole parts by *shares*, largest remainder first: the sum is exactly *total*.

    Raises BadFact when there is nothing to share it by.
    """
    whole = sum(shares)
    if whole <= 0:
        raise BadFact("The book has nothing in these vessels to share the gauge by.")
    parts = [total * share // whole for share in shares]
    by_remainder = sorted(
        range(len(shares)), key=lambda index: (-(total * shares[index] % whole), index)
    )
    for index in by_remainder[: total - sum(parts)]:
        parts[index] += 1
    return parts
