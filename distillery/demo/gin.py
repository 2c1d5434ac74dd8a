"""Gin: spirits bought in bond, stored, drawn and redistilled through a basket of botanicals."""

from datetime import date, timedelta

from distillery.demo.steps import Diary, gauged
from distillery.demo.still_house import dry_lot
from distillery.demo.still_watch import gin_watch

NEUTRAL = {
    "consignor": "Skerry Spirits (invented)", "registry": "DSP-XX-00001", "seals": "intact",
    "family": "spirits", "type_code": "neutral spirits", "distilled_at": "192",
    "producer": "Skerry Spirits (invented) DSP-XX-00001", "state": "XX",
}  # fmt: skip


def neutral_spirits(diary: Diary, month: date, index: int) -> None:
    """A tote of neutral spirits in bond, twice in the season."""
    tote = {0: "NS-1", 9: "NS-2"}.get(index)
    if tote is None:
        return
    diary.at(
        month + timedelta(days=1), "11:00",
        lambda: diary.record(
            "receive-in-bond", document=f"SK-{month:%y%m}", application="XX-7",
            account="storage", vessel=tote, consigned="495.00 PG", consigned_gallons="260.6 gal",
            gauge=gauged("260.2", "190"), lot=f"NEUTRAL-{month:%y%m}", **NEUTRAL,
        ),
    )  # fmt: skip


def gin(diary: Diary, month: date, index: int) -> None:
    """Draw 24 gallons, cut the charge, take heads, hearts and tails, gauge the gin."""
    day, run = month + timedelta(days=5), f"GIN-{month:%y%m}"

    def draw() -> None:
        tote = "NS-1" if diary.gallons_in("NS-1") > 26 else "NS-2"
        diary.record(
            "draw-redistil", vessel=tote, to="DRAW", gauge=gauged("24.00", "190"),
            lot=f"DRAWN-{month:%y%m}", made_into="gin",
        )  # fmt: skip

    def charge() -> None:
        diary.record(
            "charge", still="PLATE", sources=[{"vessel": "DRAW"}], water="24 gal",
            family="gin", type_code="distilled gin", lot=run,
        )  # fmt: skip

    def basket() -> None:
        diary.record(
            "load-basket", still="PLATE", weighed="1300 g",
            botanicals=[
                {"lot": dry_lot("JUNIPER", month, index), "quantity": "900 g"},
                {"lot": dry_lot("CORIANDER", month, index), "quantity": "400 g"},
            ],
        )  # fmt: skip

    def cut(fraction: str, into: str, gallons: str, proof: str) -> None:
        diary.record(
            "collect", still="PLATE", fraction=fraction, into=into, gauge=gauged(gallons, proof)
        )

    def gauge() -> None:
        diary.record(
            "production-gauge", vessel="RCV-2", account="processing", into="PT-1",
            gauge=gauged("25.20", "158"), family="gin", type_code="distilled gin",
            distilled_at="158", material="grain", state="XX",
        )  # fmt: skip

    next_day = day + timedelta(days=1)
    diary.at(day, "13:00", draw)
    diary.at(next_day, "07:30", charge)
    diary.at(next_day, "09:00", lambda: cut("heads", "HEADS", "0.60", "165"))
    diary.at(
        next_day, "09:15",
        lambda: diary.record(
            "stop-still", still="PLATE", why="botanicals into the basket", proof="164",
            temperature="174 F",
        ),
    )  # fmt: skip
    diary.at(next_day, "09:40", basket)
    diary.at(next_day, "09:55", lambda: diary.record("run-on", still="PLATE", temperature="172 F"))
    gin_watch(diary, next_day)
    diary.at(next_day, "14:00", lambda: cut("hearts", "RCV-2", "25.21", "158"))
    diary.at(next_day, "15:30", lambda: cut("tails", "HEADS", "3.10", "96"))
    diary.at(next_day, "16:00", lambda: diary.record("close-run", still="PLATE"))
    diary.at(next_day, "16:30", gauge)
    _spent(diary, next_day + timedelta(days=1), run)


def _spent(diary: Diary, day: date, run: str) -> None:
    """The basket emptied, the morning after."""
    diary.at(
        day, "08:10",
        lambda: diary.record(
            "spent-botanicals", still="PLATE", run=run, weight="2150 g", fate="compost",
            place="behind the still house",
        ),
    )  # fmt: skip
