"""The tests at the season's bottling line: the filler set in the morning, three checks a run."""

from datetime import date
from decimal import Decimal
from functools import partial
from typing import Any

from distillery.demo.steps import Diary

LINE = "Line 1"
CLOCKS = ("11:30", "13:00", "14:30")
# Milliliters off full, in turn; one bottle in a season's hundred is far off, and the filler set.
OFF = ("-1.4", "0.6", "1.8", "-0.3", "2.2", "-2.6", "0.9", "-0.8", "1.1", "-1.9", "0.2")
FAR_OFF = "-16.5"  # outside two per cent of 750 mL (27 CFR 19.356(b))
ROUGH_DAY = 2  # of the month's days: the run in which a spout sticks


def bottle_checks(diary: Diary, day: date, product: str, tank: str, *, ml: int, proof: Any) -> None:
    """Calibration and checks of the bottling of *day* in *tank*."""
    diary.at(day, "09:45", partial(_calibrate, diary, day, product, tank, ml))
    for number, clock in enumerate(CLOCKS):
        diary.at(day, clock, partial(_check, diary, day, tank, ml, proof, number))


def _fills(day: date, number: int, ml: int) -> list[dict[str, str]]:
    start = day.toordinal() * 3 + number * 4
    return [{"volume": f"{ml + Decimal(OFF[(start + turn) % len(OFF)])} mL"} for turn in range(3)]


def _calibrate(diary: Diary, day: date, product: str, tank: str, ml: int) -> None:
    diary.record(
        "calibrate-filler", vessel=tank, product=product, line=LINE, fills=_fills(day, 9, ml),
        adjustment="float raised a quarter turn",
    )  # fmt: skip


def _check(diary: Diary, day: date, tank: str, ml: int, proof: Any, number: int) -> None:
    fills = _fills(day, number, ml)
    told = {}
    if number == 1 and day.month % 6 == ROUGH_DAY and tank == "BT-1":
        fills[0] = {"volume": f"{ml + Decimal(FAR_OFF)} mL"}
        told = {"corrective_action": "stopped, second spout cleaned, five bottles tipped back"}
    found = Decimal(proof) + Decimal((day.toordinal() + number) % 5 - 2) / 10
    diary.record("bottle-check", vessel=tank, line=LINE, fills=fills, proof=f"{found:.1f}", **told)
