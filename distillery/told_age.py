"""The age that came with spirits, as a record tells it: received, or there when the book began."""

from datetime import date
from typing import Any

from distillery.ages import Age, in_no_wood, in_wood
from distillery.packages import day_of, wood_of
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Vessel


def told_age(row: dict[str, Any], vessels: list[Vessel], look: Look, *, field: str) -> dict:
    """The facts of age from a record's aged_from, wood, aged_new and aged_other.

    In barrels the age runs on from *aged_from*, or from the day of the act; elsewhere it stands
    still. Raises BadFact for a day in wood that has not come, or of spirits in no wood.
    """
    age = Age(row["aged_new"], row["aged_other"])
    day: date = day_of(look)
    since = row["aged_from"].date() if row["aged_from"] else None
    woods = {row["wood"] or wood_of(look, one, None) for one in vessels if one.kind == "barrel"}
    if not woods:
        if since:
            raise BadFact("Spirits age only in wood. Give the age they came with.", field=field)
        return in_no_wood(age)
    if len(woods) > 1:
        raise BadFact("These barrels are of new and of other wood. Give each its lot.", field=field)
    if since and since > day:
        raise BadFact("They cannot be in wood since a day that has not come.", field=field)
    return in_wood(age, wood=woods.pop(), day=since or day)
