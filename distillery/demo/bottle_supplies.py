"""Empty bottles and corks of the season: a pallet a quarter, used up oldest first."""

from datetime import date, timedelta

from distillery.demo.steps import Diary

PLACE = "GLASS"
PALLET = 2400
KINDS = (("BOTTLE-750", "GLASS"), ("CORK", "CORK"))


def bottle_supplies(diary: Diary, month: date, index: int) -> None:
    """At the start of each quarter of the season."""
    if index % 3 == 0:
        diary.at(month + timedelta(days=1), "10:00", lambda: _receive(diary, month))


def _receive(diary: Diary, month: date) -> None:
    for material, start in KINDS:
        diary.record(
            "receive-material", material=material, quantity=str(PALLET), vessel=PLACE,
            supplier="Bay Glass (invented)", supplier_lot=f"BG-{month:%y%m}",
            lot=f"{start}-{month:%y%m}",
        )  # fmt: skip


def used_for(diary: Diary, bottles: int) -> list[dict[str, str]]:
    """Rows for *bottles*: of each kind the oldest lots first, one empty bottle broken."""
    stock = sorted(diary.look(PLACE), key=lambda held: held.lot.pk)
    rows = []
    for _, start in KINDS:
        left = bottles
        for held in stock:
            used = min(left, held.amount)
            if used and held.lot.code.startswith(start):
                rows.append({"lot": held.lot.code, "used": str(used)})
                left -= used
    glass = [row for row in rows if row["lot"].startswith("GLASS")]
    if glass and bottles % 2:
        glass[0]["scrapped"] = "1"
    return rows
