"""The running picture of the last checks: mean, spread, drift, overs and unders."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from math import comb
from statistics import StatisticsError, linear_regression

from distillery.models import BottleCheck, BottlingRun, FoundFill
from distillery.tested_bottles import abv, mean_ml, spread_ml
from ledger.gauging import half_up

LAST = 20  # checks in the picture
UNLIKELY = 0.05  # even overs and unders would fall out so in fewer than one lot in twenty
Point = tuple[datetime, Decimal]


@dataclass(frozen=True, slots=True)
class Picture:
    """Fills at 60 °F of a bottling's last checks, oldest first."""

    bottle_ml: int
    points: tuple[Point, ...]

    @property
    def fills(self) -> list[Decimal]:
        """Milliliters."""
        return [fill for _, fill in self.points]

    @property
    def mean(self) -> Decimal | None:
        """Mean, mL; None without a fill."""
        return mean_ml(self.fills) if self.points else None

    @property
    def spread(self) -> Decimal | None:
        """Standard deviation, mL; None under two fills."""
        return spread_ml(self.fills) if len(self.points) > 1 else None

    @property
    def drift(self) -> Decimal | None:
        """Slope of fill against time, mL an hour; None where all were tested at one moment."""
        if len(self.points) < 2:
            return None
        start = self.points[0][0]
        hours = [(at - start).total_seconds() / 3600 for at, _ in self.points]
        try:
            slope = linear_regression(hours, [float(fill) for fill in self.fills]).slope
        except StatisticsError:
            return None
        return half_up(repr(slope), "0.01")

    @property
    def overs(self) -> int:
        """Fills above the size."""
        return sum(fill > self.bottle_ml for fill in self.fills)

    @property
    def unders(self) -> int:
        """Fills below the size."""
        return sum(fill < self.bottle_ml for fill in self.fills)

    @property
    def is_even(self) -> bool:
        """Overs and unders about equal, as 27 CFR 19.356(b) wants; by the sign test, two-sided."""
        return chance_of(self.overs, self.unders) >= UNLIKELY


def chance_of(one: int, other: int) -> float:
    """How often a fair coin falls at least as unevenly as *one* to *other*."""
    tosses, fewer = one + other, min(one, other)
    tail = sum(comb(tosses, heads) for heads in range(fewer + 1))
    return min(1, 2 * tail / 2**tosses)


def pictured(
    run: BottlingRun, *, with_fills: Sequence[Decimal] = (), at: datetime | None = None
) -> Picture:
    """The last checks of *run* that found fills, and *with_fills* found *at* a moment."""
    checks = BottleCheck.objects.filter(
        run=run, kind=BottleCheck.Kind.CHECK, fills__isnull=False
    ).distinct()  # fmt: skip
    if at is not None:
        checks = checks.filter(at__lt=at)
    last = list(checks.order_by("-at", "-pk").values_list("pk", flat=True)[:LAST])
    rows = FoundFill.objects.filter(check_of__in=last).order_by("check_of__at", "check_of", "order")
    points = list(rows.values_list("check_of__at", "fill_ml"))
    if at is not None:
        points += [(at, fill) for fill in with_fills]
    return Picture(run.product.bottle_ml, tuple(points))


def alcohol_words(run: BottlingRun) -> str:
    """Alcohol found in the last checks against the label; "" before the first."""
    rows = BottleCheck.objects.filter(run=run, kind=BottleCheck.Kind.CHECK)
    rows = rows.filter(found_proof__isnull=False).order_by("-at", "-pk")
    found = [proof / 2 for proof in rows.values_list("found_proof", flat=True)[:LAST] if proof]
    if not found:
        return ""
    spread = f", spread {spread_ml(found)} points" if len(found) > 1 else ""
    label = abv(Decimal(run.product.label_proof))
    return (
        f"Alcohol of the last {len(found):,}: mean {mean_ml(found)} %{spread}; the label says "
        f"{label} %, and 0.3 points either way are allowed (27 CFR 19.356(c))."
    )


def picture_words(picture: Picture) -> tuple[str, ...]:
    """The picture in sentences; nothing before two fills."""
    if len(picture.points) < 2:
        return ()
    told = [
        f"The last {len(picture.points):,} fills: mean {picture.mean} mL, "
        f"spread {picture.spread} mL{drift_words(picture)}.",
        evenness_words(picture),
    ]
    return tuple(told)


def drift_words(picture: Picture) -> str:
    """``, drift −0.35 mL an hour``, where it can be told."""
    if picture.drift is None:
        return ""
    return f", drift {picture.drift:+f} mL an hour".replace("-", "−")


def evenness_words(picture: Picture) -> str:
    """Overs and unders, and whether they are about even (27 CFR 19.356(b))."""
    word = "about even" if picture.is_even else "not even: set the filler"
    return (
        f"{picture.overs:,} over and {picture.unders:,} under {picture.bottle_ml} mL, {word} "
        "(27 CFR 19.356(b) wants about as many of either)."
    )
