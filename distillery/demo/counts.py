"""The counts a quarter and a half-year ask for, and the mistakes every plant makes."""

from datetime import date, timedelta
from typing import Any

from distillery.demo.steps import Diary
from ledger.models import Entry, Vessel

NOTICE = timedelta(days=12)
SIGNED = {"counter": "Wren (invented)", "counter_title": "Owner", "statement": True}


def counts(diary: Diary, month: date, index: int) -> None:
    """Tanks at each quarter's end; bottles at the end of June and December, one found short."""
    last = (month + timedelta(days=32)).replace(day=1) - timedelta(days=1)
    if month.month % 3 == 0:
        diary.at(last, "17:00", lambda: _tanks(diary, last))
    if month.month in (6, 12):
        diary.at(last - NOTICE, "09:00", lambda: _notice(diary, last))
        diary.at(last, "18:00", lambda: _bottles(diary, last))


def _notice(diary: Diary, day: date) -> None:
    """More than five business days ahead (27 CFR 19.372)."""
    diary.record(
        "notice", kind="inventory", how="letter", effective_from=day.isoformat(),
        reference=f"L-{day:%y%m} (invented)",
    )  # fmt: skip


def _tanks(diary: Diary, day: date) -> None:
    """Every tank as it stands; barrels are not counted (27 CFR 19.312, 19.333, 19.371)."""
    kinds = ("tank", "tote", "receiver", "bottling_tank", "still")
    codes = Vessel.objects.filter(premises=diary.premises, kind__in=kinds)
    full = dict.fromkeys(
        held.vessel.code for held in diary.look(*codes.values_list("code", flat=True))
    )
    rows: list[dict[str, Any]] = [{"vessel": code, "as_book": True} for code in full]
    if rows:
        diary.record("count", kind="quarter", as_of=day.isoformat(), rows=rows, **SIGNED)


def _bottles(diary: Diary, day: date) -> None:
    """Each lot in the case store; of the largest one bottle is missing and nobody knows why."""
    stock = [held for held in diary.look("CASES") if held.account == "finished"]
    if not stock:
        return
    largest = max(stock, key=lambda held: held.amount)
    rows = [
        {
            "vessel": "CASES", "lot": held.lot.code,
            "bottles": str(held.amount - (held is largest)),
        }
        for held in stock
    ]  # fmt: skip
    diary.record("count", kind="bottled", as_of=day.isoformat(), rows=rows, **SIGNED)


def mistakes(diary: Diary, month: date, index: int) -> None:
    """A loss recorded in the wrong tank and taken back; a delivery weighed wrongly, corrected."""
    if index == 2:
        day = month + timedelta(days=20)
        diary.at(day, "12:00", lambda: _spill(diary, "NS-1"))
        diary.at(day, "12:05", lambda: _take_back(diary))
    if index == 5:
        diary.at(month + timedelta(days=1), "08:00", lambda: _mend_weight(diary))


def _spill(diary: Diary, vessel: str) -> None:
    diary.record("lose", vessel=vessel, cause="spill", volume="0.5 gal")


def _take_back(diary: Diary) -> None:
    last = Entry.objects.filter(premises=diary.premises, operation="lose").order_by("-number")[0]
    diary.record("reverse", entry=str(last.number), reason="It was water, from the hose.")


def _mend_weight(diary: Diary) -> None:
    rows = Entry.objects.filter(premises=diary.premises, operation="receive-material")
    last = rows.filter(lots_opened__code__startswith="CORN").order_by("-number")[0]
    diary.record(
        "correct", entry=str(last.number), leg="1", amount="752 lb",
        reason="The second ticket was read as 250; it says 252.",
    )  # fmt: skip
