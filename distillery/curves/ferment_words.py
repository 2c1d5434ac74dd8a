"""What the readings of a ferment say in words, and whether any of it wants looking at."""

from collections.abc import Iterable, Sequence
from datetime import timedelta
from decimal import Decimal

from distillery.check_due import minutes_words
from distillery.curves.chart import Point
from distillery.curves.expected import FASTEST, SLOWEST, WARMTH_F, hours_between
from distillery.models import Reading
from distillery.shown_in import ShownIn, gravity_words
from ledger import units
from ledger.models import Lot

EQUAL = Decimal("0.001")  # two readings of one wash that differ less are equal
STUCK = timedelta(hours=12)  # common practice, no source: no fall for 12 to 24 hours
FINISHED = timedelta(hours=8)  # common practice, no source: two equal readings 8 to 12 hours apart
END = SLOWEST.end


def calls_of(lots: Iterable[Lot], shown: ShownIn) -> dict[int, tuple[str, bool]]:
    """(words, whether they are of something unusual) of each wash that calls for a hand.

    By the lot's row number; one query for all. A wash that runs as usual says nothing.
    """
    points: dict[int, tuple[list[Point], list[Point]]] = {}
    rows = Reading.objects.standing().filter(lot__in=list(lots))
    figures = rows.order_by("at", "pk").values_list("lot", "at", "gravity", "temperature_f")
    for lot, at, gravity, warmth in figures:
        gravities, warmths = points.setdefault(lot or 0, ([], []))
        if gravity is not None:
            gravities.append((at, gravity))
        if warmth is not None:
            warmths.append((at, warmth))
    told = {lot: said(*pair, shown) for lot, pair in points.items()}
    return {
        lot: (words[0], is_odd)
        for lot, (words, is_odd) in told.items()
        if is_odd or _finished(points[lot][0])
    }


def said(
    gravities: Sequence[Point], warmths: Sequence[Point], shown: ShownIn
) -> tuple[tuple[str, ...], bool]:
    """What the readings say in the plant's units, the odd before the calm, and whether any is."""
    odd = [
        *_stands(gravities, shown.gravity), *_against_the_band(gravities, shown.gravity),
        *_warmth(warmths, shown.temperature),
    ]  # fmt: skip
    calm = [] if odd else [*_finished(gravities), *_falls(gravities, shown.gravity)]
    return (*odd, *calm), bool(odd)


def _told(gravity: Decimal, unit: str) -> str:
    return gravity_words(gravity, unit, places=3).removeprefix("SG ")


def _against_the_band(gravities: Sequence[Point], unit: str) -> list[str]:
    if len(gravities) < 2:
        return []
    (first, start), (at, now) = gravities[0], gravities[-1]
    hours = hours_between(first, at)
    after = f"{_told(now, unit)} after {hours:.0f} h"
    slowest, fastest = SLOWEST.at(start, hours), FASTEST.at(start, hours)
    if now > slowest + EQUAL:
        return [f"Slower than usual: {after}, usually {_told(slowest, unit)} or lower by then. "
                "Look at temperature, pH and nutrient."]  # fmt: skip
    if now < fastest - EQUAL:
        return [f"Faster than usual: {after}, usually {_told(fastest, unit)} or higher by then. "
                "Read it again."]  # fmt: skip
    return []


def _still_since(gravities: Sequence[Point]) -> timedelta:
    """For how long the last gravity has not fallen."""
    at, now = gravities[-1]
    since = at
    for before, value in reversed(gravities[:-1]):
        if abs(value - now) > EQUAL:
            break
        since = before
    return at - since


def _stands(gravities: Sequence[Point], unit: str) -> list[str]:
    if len(gravities) < 2 or gravities[-1][1] <= END or _still_since(gravities) < STUCK:
        return []
    long = minutes_words(_still_since(gravities))
    return [f"Stuck: not fallen for {long} and still above {_told(END, unit)}. Look at "
            "temperature, pH and nutrient."]  # fmt: skip


def _finished(gravities: Sequence[Point]) -> list[str]:
    if len(gravities) < 2 or gravities[-1][1] > END or _still_since(gravities) < FINISHED:
        return []
    return [f"Done: equal readings over {minutes_words(_still_since(gravities))}. Distil soon."]


def _warmth(warmths: Sequence[Point], unit: str) -> list[str]:
    if not warmths or WARMTH_F[0] <= warmths[-1][1] <= WARMTH_F[1]:
        return []
    word = "Colder" if warmths[-1][1] < WARMTH_F[0] else "Warmer"
    low, high = (units.show(edge, "temperature", unit) for edge in WARMTH_F)
    now = units.show(warmths[-1][1], "temperature", unit)
    return [f"{word} than usual: {now}, usually {low} to {high}; the yeast's sheet decides."]


def _falls(gravities: Sequence[Point], unit: str) -> list[str]:
    if len(gravities) < 2 or _finished(gravities):
        return []
    (first, start), (at, now) = gravities[0], gravities[-1]
    fall = f"{_told(start, unit)} to {_told(now, unit)} in {hours_between(first, at):.0f} h"
    return [f"From {fall}, inside the usual band."]
