"""After a strip run: backset kept, stillage to the farm, the empty fermenter cleaned."""

from datetime import date

from distillery.demo.steps import Diary

KEPT_OF = 0  # the month's strip run of which backset is kept
KEPT, STILLAGE = 40, 120  # gallons
FARM = {"to_name": "Reed Farm (invented)", "to_address": "2 Marsh Lane"}


def backset_lot(month: date) -> str:
    """The code of the month's backset."""
    return f"BACK-{month:%y%m}"


def backset_for(month: date, number: int) -> list[tuple[str, int]]:
    """(lot, gallons) of backset in the mash of that number, of the run some days before."""
    return [(backset_lot(month), KEPT)] if number == KEPT_OF + 1 else []


def emptied(diary: Diary, day: date, tank: str, run: str, number: int) -> None:
    """Of the strip run *run*, whose wash stood in *tank*."""

    def keep() -> None:
        diary.record(
            "keep-backset", run=run, volume=f"{KEPT} gal", into="BACK", temperature="184 F",
            ph="3.8", lot=backset_lot(day.replace(day=1)),
        )  # fmt: skip

    def feed() -> None:
        kept = KEPT if number == KEPT_OF else 0
        diary.record(
            "route-stillage", run=run, volume=f"{STILLAGE - kept} gal", route="feed",
            temperature="140 F", **FARM,
        )  # fmt: skip

    def clean() -> None:
        diary.record(
            "clean-vessel", vessel=tank, rinse_ph="7.1", is_ready=True,
            inspected_by="Linnet (invented)",
            steps=[
                {"what": "caustic", "strength": "2 %", "temperature": "160 F", "minutes": "30"},
                {"what": "rinse", "minutes": "10"},
            ],
        )  # fmt: skip

    diary.at(day, "10:00", clean)
    if number == KEPT_OF:
        diary.at(day, "16:40", keep)
    diary.at(day, "17:00", feed)
