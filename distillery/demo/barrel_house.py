"""The barrel store: the cooper's delivery, swelling, racks, thief samples, a leak, a used cask."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from distillery.demo.plant import BARRELS, BARRELS_AT_FIRST, barrel_code, barrel_tare
from distillery.demo.steps import Diary
from ledger.gauging import package_weight, pounds_per_wine_gallon
from ledger.looking import Held
from ledger.models import Movement, Vessel

CODES = [barrel_code(number) for number in range(1, BARRELS + 1)]
CASK, CASK_TARE = "X-01", "98"  # of 30 gallons, sweet wine before
EACH_QUARTER, EACH_HALF = 3, 6


def barrel_store(diary: Diary, month: date, index: int) -> None:
    """Each month the cooper's barrels are swelled and racked; the rest as its month comes."""
    fill = month + timedelta(days=24)
    diary.at(fill - timedelta(days=2), "15:00", lambda: _swell(diary))
    diary.at(fill, "15:30", lambda: _rack(diary, index))
    if index % EACH_QUARTER == 2:
        diary.at(month + timedelta(days=26), "10:00", lambda: _thief(diary))
    if index == EACH_HALF:
        diary.at(month + timedelta(days=8), "09:00", lambda: _from_cooper(diary, month))
        diary.at(month + timedelta(days=9), "09:00", lambda: _cask(diary, month))
        diary.at(month + timedelta(days=27), "11:00", lambda: _regauge(diary))
    if index == 10:
        diary.at(month + timedelta(days=7), "08:20", lambda: _leak(diary))


def _here(diary: Diary) -> list[str]:
    """The bourbon barrels that have come so far, by number."""
    rows = Vessel.objects.filter(premises=diary.premises, code__in=CODES)
    return sorted(rows.values_list("code", flat=True))


def empty_barrels(diary: Diary, count: int) -> list[str]:
    """The next barrels that have never held spirits: bourbon ages in new oak."""
    filled = Movement.objects.filter(entry__premises=diary.premises, to_vessel__kind="barrel")
    used = set(filled.values_list("to_vessel__code", flat=True))
    return [code for code in _here(diary) if code not in used][:count]


def full_barrels(diary: Diary) -> list[Held]:
    """Barrels that hold bourbon, the oldest first."""
    held = diary.look(*_here(diary))
    return sorted(held, key=lambda one: (one.lot.aged_from, one.vessel.code))


def weighed_barrel(held: Held, kept: Decimal, proof: str) -> dict[str, str]:
    """A barrel on the scale that has *kept* that share of what it was filled with."""
    net = Decimal(held.wine_gallons) / 100 * kept * pounds_per_wine_gallon(proof)
    tare = Decimal("53.5")  # wet: the wood has drunk since it was weighed empty
    return {
        "vessel": held.vessel.code, "gross": f"{package_weight(net + tare, capacity_gal=15)} lb",
        "tare": f"{tare} lb", "proof": proof,
    }  # fmt: skip


def _from_cooper(diary: Diary, month: date) -> None:
    numbers = range(BARRELS_AT_FIRST + 1, BARRELS + 1)
    diary.record(
        "receive-barrels", barrels=f"{barrel_code(numbers[0])}..{barrel_code(numbers[-1])}",
        cooper="Stave and Hoop (invented)", rated="15 gal", cooperage="C",
        document=f"SH-{month:%y%m}", place="Barrel store",
        weights=[
            {"code": barrel_code(number), "tare": f"{barrel_tare(number)} lb"}
            for number in numbers
        ],
    )  # fmt: skip


def _cask(diary: Diary, month: date) -> None:
    diary.record(
        "receive-barrels", barrels=CASK, cooper="Estuary Vineyard (invented)", rated="30 gal",
        cooperage="R", held_before="sweet wine", tare=f"{CASK_TARE} lb",
        document=f"EV-{month:%y%m}", place="Barrel store",
    )  # fmt: skip


def _swell(diary: Diary) -> None:
    diary.record(
        "barrel-care", barrels=", ".join(empty_barrels(diary, 6)), done="swelled",
        hours="24 hours", whom="Linnet (invented)", words="tight",
    )  # fmt: skip


def _rack(diary: Diary, index: int) -> None:
    """The barrels of the month's fill, which are those filled last."""
    last = max(held.lot.aged_from for held in full_barrels(diary) if held.lot.aged_from)
    new = [one.vessel.code for one in full_barrels(diary) if one.lot.aged_from == last]
    place = f"Barrel store, rack {index % 4 + 1}, tier {index // 4 + 1}"
    diary.record("move-barrels", barrels=", ".join(new), place=place)


def _thief(diary: Diary) -> None:
    oldest = full_barrels(diary)[0]
    alike = [held for held in full_barrels(diary) if held.lot.pk == oldest.lot.pk][:2]
    diary.record(
        "barrel-sample", purpose="laboratory", disposition="nosed at the panel, poured away",
        samples=[_drawn(held) for held in alike],
    )  # fmt: skip


def _drawn(held: Held) -> dict[str, Any]:
    return {
        "barrel": held.vessel.code, "volume": "100 mL", "proof": "117.6",
        "words": "amber; oak, vanilla; a little hot",
    }  # fmt: skip


def _regauge(diary: Diary) -> None:
    rows = [weighed_barrel(held, Decimal("0.962"), "117.6") for held in full_barrels(diary)[:2]]
    diary.record("regauge", vessels=rows)


def _leak(diary: Diary) -> None:
    diary.record(
        "package-loss", cause="leak", found_how="wet floor under the rack, at the morning round",
        packages=[
            weighed_barrel(full_barrels(diary)[-1], Decimal("0.81"), "117.8")
            | {"marks": "a stave weeps at the croze"}
        ],
    )  # fmt: skip
