"""Packages by the law: their lot number and whether their wood is new."""

from collections.abc import Iterable
from datetime import date
from itertools import count

from django.db.models import Sum

from distillery.ages import NEW, OTHER
from distillery.models import Barrel, DatedSetting
from ledger.accounts import SPIRITS
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Lot, Movement, Vessel

NEVER_FILLED = ("C", "P", "PAR", "G", "PS")  # 27 CFR 19.618's codes of wood that may be new


def day_of(look: Look) -> date:
    """The plant's business date at the moment of *look*."""
    return look.at.astimezone(look.premises.zone).date()


def gauge_step(look: Look) -> str:
    """To what a package gauge is rounded on that day (27 CFR 19.289(d); a dated setting)."""
    return DatedSetting.value_on(look.premises, DatedSetting.Name.GAUGE_STEP, day_of(look))


def _suffix(number: int) -> str:
    """ "" for the first lot of a day, then A to Z, AA, AB …"""
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def package_lot_code(look: Look, day: date, *, taken: Iterable[str] = ()) -> str:
    """The next lot identification number for packages filled on *day* (27 CFR 19.485).

    Year, month as a letter from A, day, and from the second lot of the day on a suffix:
    30 January 2026 is ``26A30``, then ``26A30A``. *taken* are codes of the same plan.
    """
    start = f"{day:%y}{'ABCDEFGHIJKL'[day.month - 1]}{day:%d}"
    known = look.codes_like(start) | set(taken)
    return next(code for n in count() if (code := start + _suffix(n)) not in known)


def sheets_of(vessels: Iterable[Vessel]) -> dict[str, Barrel]:
    """The barrel sheets by vessel code. Raises BadFact for a barrel without one."""
    wanted = {vessel.pk: vessel for vessel in vessels}
    rows = Barrel.objects.filter(vessel__in=wanted)
    found = {wanted[row.vessel_id].code: row for row in rows}
    for vessel in wanted.values():
        if vessel.code not in found:
            raise BadFact(f"{vessel.code} has no barrel sheet. Add it under Plant first.")
    return found


def cooperage_of(look: Look, vessels: Iterable[Vessel]) -> dict[str, str]:
    """{vessel code: "new" or "used"}: new is the first fill of wood that never held spirits.

    The book decides as of the moment of *look*; a fill that was reversed does not count.
    Raises BadFact for a barrel without its sheet.
    """
    vessels = list(vessels)
    rows = Movement.objects.filter(to_vessel__in=vessels, to_account__in=SPIRITS, at__lte=look.at)
    held = dict(rows.values_list("to_vessel__code").annotate(Sum("wine_gallons")))
    return {
        code: "new"
        if sheet.cooperage in NEVER_FILLED and not sheet.was_filled_before and not held.get(code)
        else "used"
        for code, sheet in sheets_of(vessels).items()
    }


def cooperage_for(look: Look, vessel: Vessel) -> str:
    """``new`` or ``used`` for one barrel; see cooperage_of."""
    return cooperage_of(look, [vessel])[vessel.code]


def wood_for(sheet: Barrel, cooperage: str) -> str:
    """What the wood of a fill counts as for age: only a first fill of charred oak is "new"."""
    return NEW if cooperage == "new" and sheet.cooperage == Barrel.Cooperage.CHARRED else OTHER


def wood_of(look: Look, vessel: Vessel, held: Lot | None) -> str:
    """The wood that spirits poured into *vessel* age in: "" outside a barrel.

    What stands in a barrel already goes on in the wood it was filled into.
    """
    if vessel.kind != Vessel.Kind.BARREL:
        return ""
    if held is not None:
        return held.wood or OTHER
    return wood_for(sheets_of([vessel])[vessel.code], cooperage_for(look, vessel))
