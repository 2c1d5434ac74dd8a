"""What ferments and runs at the moment the season is told up to, so that curves show at once.

Three washes in different states, in fermenters that the month's own mashes leave free, and a gin
run in the middle of its hearts.
"""

from collections.abc import Callable
from datetime import date, datetime, timedelta
from functools import partial

from distillery.demo.steps import Diary, gauged
from distillery.demo.still_house import BILL, MASH_DAYS
from distillery.models import Reading

STAYS = timedelta(days=5, hours=4)  # of a mash of the month, from the mash to the clean fermenter
SUPPLIES = timedelta(hours=125)
GIN_DAY = 7
# Hours before now: gravity, temperature. Of a grain wash (common practice, no source): one that
# is slow and cold, one inside the band, one done with two equal readings.
Row = tuple[float, str, str]
WASHES: tuple[tuple[str, float, tuple[Row, ...]], ...] = (
    ("SLOW", 62, ((48, "1.062", "70"), (36, "1.058", "68"), (24, "1.053", "66"),
                  (12.5, "1.048", "66"), (2, "1.044", "65"))),
    ("STEADY", 46, ((34, "1.052", "82"), (22, "1.037", "85"), (10, "1.062", "86"),
                    (9.9, "1.026", "86"), (1.5, "1.019", "85"))),
    ("DONE", 112, ((98, "1.053", "83"), (86, "1.040", "85"), (74, "1.027", "86"),
                   (62, "1.017", "86"), (50, "1.009", "85"), (38, "1.003", "84"),
                   (26, "1.000", "83"), (14, "0.998", "81"), (3, "0.998", "80"))),
)  # fmt: skip
SWAPPED: tuple[str, float] = ("1.062", 10)  # typed for 1.026; voided and read again
# Minutes before now: head °F, hydrometer and its °F, condenser °F, gallons an hour, level, cut.
RUN: tuple[tuple[int, str, str, str, str, str, str, str], ...] = (
    (250, "171", "166", "62", "58", "2", "", "heads"),
    (185, "172", "167", "64", "59", "5", "", "hearts"),
    (160, "173", "166", "65", "60", "6", "2.3", ""),
    (130, "174", "166", "66", "61", "6", "5.2", ""),
    (100, "175", "165", "67", "61", "6", "8.2", ""),
    (70, "176", "164", "68", "62", "6", "11.2", ""),
    (40, "178", "162", "68", "63", "6", "14.1", ""),
    (20, "180", "159", "69", "63", "5", "15.9", ""),
    (6, "182", "156", "69", "64", "5", "17.1", ""),
)  # of a column still (common practice, no source)


def today(diary: Diary) -> None:
    """Plan what is under way at the end of *diary*."""
    now = diary.until.astimezone(diary.premises.zone)
    free = [f"FV-{number + 1}" for number in range(len(MASH_DAYS))]
    _supplies(diary, now)
    for name, hours, rows in WASHES:
        tank = next((one for one in free if _is_free(one, now - timedelta(hours=hours), now)), None)
        if tank:
            free.remove(tank)
            _ferment(diary, now, tank, f"WASH-{now:%y%m%d}-{name}", hours, rows)
    if now.day != GIN_DAY:  # the month's own run stands in the still
        _gin(diary, now)


def _is_free(tank: str, start: datetime, end: datetime) -> bool:
    """Whether no mash of the months' own stands in *tank* from *start* to *end*."""
    day = MASH_DAYS[int(tank[-1]) - 1]
    months = {(at.year, at.month) for at in (start - STAYS, start, end)}
    filled = [datetime(*month, day, 7, tzinfo=end.tzinfo) for month in months]
    return not any(one < end and one + STAYS > start for one in filled)


def _at(diary: Diary, moment: datetime, slug: str, **fields: object) -> None:
    step = partial(diary.record, slug, **fields)
    diary.at(moment.date(), f"{moment:%H:%M}", step)


def _supplies(diary: Diary, now: datetime) -> None:
    """Grain, yeast, enzyme and botanicals for all of it."""
    dry = (("YEAST", "1650 g"), ("ENZYME", "1200 g"), ("JUNIPER", "900 g"), ("CORIANDER", "400 g"))
    wanted = [(code, bin_, f"{pounds * 3} lb") for code, bin_, pounds in BILL]
    for code, place, quantity in (*wanted, *((code, "SHELF", grams) for code, grams in dry)):
        _at(
            diary, now - SUPPLIES, "receive-material", material=code, quantity=quantity,
            vessel=place, lot=_lot(code, now), supplier="Dune Grain (invented)",
            supplier_lot=f"D{now:%y%m%d}",
        )  # fmt: skip


def _lot(code: str, now: date) -> str:
    return f"{code}-{now:%y%m%d}"


def _ferment(
    diary: Diary, now: datetime, tank: str, lot: str, hours: float, rows: tuple[Row, ...]
) -> None:
    start = now - timedelta(hours=hours)
    _at(
        diary, start, "mash", into=tank, wash="188 gal", gravity="1.064", lot=lot,
        water="165 gal", strike="165 F", rest="148 F",
        grains=[{"lot": _lot(code, now), "quantity": f"{pounds} lb"} for code, _, pounds in BILL],
        enzymes=[{"lot": _lot("ENZYME", now), "quantity": "400 g"}],
    )  # fmt: skip
    yeasts = [{"lot": _lot("YEAST", now), "quantity": "550 g"}]
    _at(
        diary, start + timedelta(hours=5), "pitch", vessel=tank, yeasts=yeasts,
        temperature=f"{rows[0][2]} F",
    )  # fmt: skip
    for before, gravity, warmth in rows:
        at = now - timedelta(hours=before)
        _at(diary, at, "ferment-reading", vessel=tank, gravity=gravity, temperature=f"{warmth} F")
        if (gravity, before) == SWAPPED:
            again = partial(_void, diary, tank)
            diary.at(at.date(), f"{at + timedelta(minutes=2):%H:%M}", again)


def _void(diary: Diary, tank: str) -> None:
    newest = Reading.objects.filter(vessel__code=tank, vessel__premises=diary.premises)
    diary.record(
        "void-reading", reading=newest.latest("at").key,
        reason="Two digits swapped; the hydrometer says 1.026.",
    )  # fmt: skip


def _gin(diary: Diary, now: datetime) -> None:
    """Neutral spirits drawn and charged; heads off, the basket in, hearts into the receiver."""

    def before(minutes: int) -> datetime:
        return now - timedelta(minutes=minutes)

    def draw() -> None:
        tote = "NS-1" if diary.gallons_in("NS-1") > 26 else "NS-2"
        diary.record(
            "draw-redistil", vessel=tote, to="DRAW", gauge=gauged("24.00", "190"),
            lot=_lot("DRAWN", now), made_into="gin",
        )  # fmt: skip

    diary.at(before(340).date(), f"{before(340):%H:%M}", draw)
    _at(
        diary, before(310), "charge", still="PLATE", sources=[{"vessel": "DRAW"}], water="24 gal",
        family="gin", type_code="distilled gin", lot=_lot("GIN", now),
    )  # fmt: skip
    _at(
        diary, before(235), "collect", still="PLATE", fraction="heads", into="HEADS",
        gauge=gauged("0.60", "165"),
    )  # fmt: skip
    _basket(diary, now, before)
    for minutes, head, read, warmth, condenser, rate, level, cut in RUN:
        _at(
            diary, before(minutes), "still-reading", still="PLATE", temperature=f"{head} F",
            reading=read, reading_temperature=f"{warmth} F", condenser=f"{condenser} F",
            rate=f"{rate} gal", cut=cut, receiver="HEADS" if cut == "heads" else "RCV-2",
            level=f"{level} gal" if level else "",
        )  # fmt: skip


def _basket(diary: Diary, now: datetime, before: Callable[[int], datetime]) -> None:
    _at(
        diary, before(230), "stop-still", still="PLATE", why="botanicals into the basket",
        proof="164", temperature="174 F",
    )  # fmt: skip
    botanicals = [
        {"lot": _lot("JUNIPER", now), "quantity": "900 g"},
        {"lot": _lot("CORIANDER", now), "quantity": "400 g"},
    ]
    _at(diary, before(210), "load-basket", still="PLATE", weighed="1300 g", botanicals=botanicals)
    _at(diary, before(195), "run-on", still="PLATE", temperature="172 F")
