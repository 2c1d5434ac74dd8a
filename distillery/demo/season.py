"""The whole season: fifteen months up to now, told month by month."""

from collections.abc import Callable, Iterator
from datetime import date, datetime
from typing import Any

from distillery.demo import (
    barrel_house,
    bottle_supplies,
    bottling_room,
    counts,
    finishing,
    gin,
    liqueur,
    odd_days,
    shop,
    still_house,
    today,
)
from distillery.demo.steps import Diary
from ledger.models import Premises

MONTHS = 15
PARTS: tuple[Callable[[Diary, date, int], None], ...] = (
    still_house.supplies,
    bottle_supplies.bottle_supplies,
    gin.neutral_spirits,
    still_house.whiskey,
    barrel_house.barrel_store,
    gin.gin,
    bottling_room.gin,
    bottling_room.vodka,
    bottling_room.bourbon,
    liqueur.liqueur,
    finishing.finishing,
    bottling_room.removals,
    shop.shop,
    odd_days.odd_days,
    counts.mistakes,
    counts.counts,
)


def months_up_to(last: date, count: int = MONTHS) -> list[date]:
    """First days of *count* months, ending with that of *last*."""
    found = [last.replace(day=1)]
    while len(found) < count:
        before = found[-1]
        month, year = before.month - 1 or 12, before.year - (before.month == 1)
        found.append(date(year, month, 1))
    return found[::-1]


def season(
    premises: Premises,
    user: Any,
    *,
    until: datetime,
    count: int = MONTHS,
    is_under_way: bool = False,
) -> Iterator[date]:
    """Record the season up to *until*; yields each month that has ended, for closing.

    *is_under_way* leaves washes fermenting and a still running at *until*.

    The months are the last *count* of the plant's calendar at *until*, so the demo is always of
    today. The same *until* gives the same records under the same keys.
    """
    diary = Diary(premises, user, until)
    for index, month in enumerate(months_up_to(until.astimezone(premises.zone).date(), count)):
        for part in PARTS:
            part(diary, month, index)
    if is_under_way:
        today.today(diary)
    yield from diary.tell()
