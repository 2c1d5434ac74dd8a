"""What the stiller reads while a still runs: head, condenser, strength, flow and the cuts."""

from datetime import date
from functools import partial

from distillery.demo.steps import Diary

# clock, head °F, condenser °F, proof at the parrot, gallons an hour, cut
Row = tuple[str, str, str, str, str, str]
SPIRIT: tuple[Row, ...] = (
    ("08:55", "172", "58", "160", "", "foreshots"),
    ("09:15", "173", "59", "157", "4", "heads"),
    ("10:05", "175", "61", "152", "7", "hearts"),
    ("12:30", "181", "63", "141", "8", ""),
    ("14:30", "187", "64", "126", "8", ""),
    ("15:25", "191", "65", "108", "9", "tails"),
)  # a pot still's second run (common practice, no source)
GIN: tuple[Row, ...] = (
    ("08:40", "172", "58", "166", "2", "heads"),
    ("10:20", "173", "60", "164", "6", "hearts"),
    ("12:10", "176", "62", "159", "6", ""),
    ("14:10", "186", "63", "121", "5", "tails"),
)


def spirit_watch(diary: Diary, day: date, index: int) -> None:
    """The spirit run of *day*; no two run quite alike."""
    _watch(diary, day, "POT", SPIRIT, shift=index % 3)


def gin_watch(diary: Diary, day: date) -> None:
    """The gin run of *day*."""
    _watch(diary, day, "PLATE", GIN, shift=day.month % 2)


def _watch(diary: Diary, day: date, still: str, rows: tuple[Row, ...], *, shift: int) -> None:
    for clock, head, condenser, proof, rate, cut in rows:
        fields = {
            "still": still, "temperature": f"{int(head) + shift} F",
            "condenser": f"{condenser} F", "proof": f"{int(proof) - shift}", "cut": cut,
        }  # fmt: skip
        if rate:
            fields["rate"] = f"{rate} gal"
        diary.at(day, clock, partial(diary.record, "still-reading", **fields))
