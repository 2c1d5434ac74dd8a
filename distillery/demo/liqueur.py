"""A liqueur under its formula, twice in the season: neutral spirits, sugar, fennel essence."""

from datetime import date, timedelta

from distillery.demo.bottling_room import bottling
from distillery.demo.gin import NEUTRAL
from distillery.demo.steps import Diary, gauged

MADE = (4, 10)  # months of the season


def liqueur(diary: Diary, month: date, index: int) -> None:
    """Base, sugar and essence come, are mixed at the tank, and are bottled as any other."""
    if index not in MADE:
        return
    tag, day = f"{month:%y%m}", month + timedelta(days=14)

    def dry() -> None:
        diary.record(
            "receive-material", material="SUGAR", quantity="80 lb", vessel="SHELF",
            lot=f"SUGAR-{tag}", supplier="Saltmarsh Supply (invented)", supplier_lot=f"D{tag}",
        )  # fmt: skip

    def essence() -> None:
        diary.record(
            "receive-material", material="FENNEL", quantity="1 gal", vessel="SHELF",
            lot=f"FENNEL-{tag}", supplier="Umbel Essences (invented)", supplier_lot=f"U{tag}",
        )  # fmt: skip

    def base() -> None:
        diary.record(
            "receive-in-bond", document=f"SK-{tag}-L", application="XX-7", account="processing",
            vessel="PT-4", consigned="38.00 PG", consigned_gallons="20 gal",
            gauge=gauged("19.98", "190"), lot=f"LIQBASE-{tag}", **NEUTRAL,
        )  # fmt: skip

    def mix() -> None:
        diary.record(
            "add-ingredients", vessel="PT-4", formula="XX-3", family="other",
            type_code="liqueur", name="Fennel liqueur", lot=f"LIQ-{tag}", water="20 gal",
            materials=[
                {"lot": f"FENNEL-{tag}", "quantity": "1 gal", "use": "flavoring"},
                {"lot": f"SUGAR-{tag}", "quantity": "80 lb", "use": "sugar"},
            ],
            gauge=gauged("45.80", "78") | {"obscuration": "4.8"},
        )  # fmt: skip

    diary.at(month + timedelta(days=1), "10:20", dry)
    diary.at(month + timedelta(days=1), "10:25", essence)
    diary.at(day, "09:00", base)
    diary.at(day, "11:00", mix)
    bottling(diary, day + timedelta(days=1), "LIQUEUR", "PT-4", "BT-2")
