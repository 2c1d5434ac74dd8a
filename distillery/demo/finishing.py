"""Two old barrels married in a tank and finished in a used wine cask, then bottled."""

from datetime import date, timedelta
from decimal import Decimal

from distillery.demo.barrel_house import CASK, CASK_TARE, full_barrels, weighed_barrel
from distillery.demo.bottling_room import bottling
from distillery.demo.steps import Diary
from ledger.gauging import package_weight, pounds_per_wine_gallon

INTO_CASK, OUT_OF_CASK = 9, 13  # months of the season


def finishing(diary: Diary, month: date, index: int) -> None:
    """Storage all the while: what goes to processing may not come back (27 CFR 19.351(c))."""
    day = month + timedelta(days=21)
    if index == INTO_CASK:
        diary.at(day, "09:00", lambda: _marry(diary))
        diary.at(day, "11:00", lambda: _fill(diary))
    if index == OUT_OF_CASK:
        diary.at(day, "09:00", lambda: _dump(diary, month))
        bottling(diary, day + timedelta(days=1), "CASK", "PT-4", "BT-2")


def _marry(diary: Diary) -> None:
    rows = [
        weighed_barrel(held, Decimal("0.95") - Decimal(number) / 100, "117.4")
        for number, held in enumerate(full_barrels(diary)[:2])
    ]
    diary.record("dump-to-tank", vessels=rows, into="ST-2", lot="MARRIED-1")


def _fill(diary: Diary) -> None:
    diary.record(
        "fill-barrels", vessel="ST-2", empties=True,
        barrels=[{"barrel": CASK, "gross": f"{_gross(diary, 'ST-2', Decimal('1'))} lb"}],
    )  # fmt: skip


def _gross(diary: Diary, vessel: str, kept: Decimal) -> Decimal:
    strength = diary.proof_gallons_in(vessel) * 100 / diary.gallons_in(vessel)
    net = diary.gallons_in(vessel) * kept * pounds_per_wine_gallon(f"{strength:.1f}")
    return package_weight(net + Decimal(CASK_TARE), capacity_gal=30)


def _dump(diary: Diary, month: date) -> None:
    strength = diary.proof_gallons_in(CASK) * 100 / diary.gallons_in(CASK)
    gross = _gross(diary, CASK, Decimal("0.975"))
    diary.record(
        "dump", into="PT-4", name="Whisky, wine cask finish", formula="XX-4", family="whisky",
        type_code="whisky", band="low", lot=f"DUMP-{month:%y%m}-CASK",
        vessels=[
            {
                "vessel": CASK, "gross": f"{gross} lb", "tare": f"{CASK_TARE} lb",
                "proof": f"{strength:.1f}",
            }
        ],
    )  # fmt: skip
