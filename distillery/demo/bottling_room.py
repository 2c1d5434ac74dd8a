"""The bottling room: reduce, filter, bottle; then cases leave, are sampled, broken, counted."""

from datetime import date, timedelta
from decimal import Decimal
from functools import partial

from distillery.demo.barrel_house import full_barrels, weighed_barrel
from distillery.demo.bottle_checks import bottle_checks
from distillery.demo.bottle_supplies import used_for
from distillery.demo.gin import NEUTRAL
from distillery.demo.plant import PRODUCTS
from distillery.demo.steps import Diary, gauged
from ledger.looking import Held

BOTTLES = {code: (Decimal(proof), ml, case) for code, _, _, _, proof, ml, case, _ in PRODUCTS}
GALLONS_PER_LITER = Decimal("0.264172")  # 27 CFR 19.582


def gin(diary: Diary, month: date, index: int) -> None:
    """The month's gin rests three days, then it is cut and bottled."""
    bottling(diary, month + timedelta(days=9), "GIN", "PT-1", "BT-1")


def vodka(diary: Diary, month: date, index: int) -> None:
    """Every other month neutral spirits straight into processing, bottled as vodka."""
    if index % 2:
        return
    diary.at(
        month + timedelta(days=11), "10:00",
        lambda: diary.record(
            "receive-in-bond", document=f"SK-{month:%y%m}-V", application="XX-7",
            account="processing", vessel="PT-2", consigned="76.00 PG", consigned_gallons="40 gal",
            gauge=gauged("39.98", "190"), lot=f"VODKABASE-{month:%y%m}", **NEUTRAL,
        ),
    )  # fmt: skip
    bottling(diary, month + timedelta(days=12), "VODKA", "PT-2", "BT-2")


def bourbon(diary: Diary, month: date, index: int) -> None:
    """From the seventh month, every other month the three oldest barrels."""
    if index < 7 or index % 2 == 0:
        return

    def dump() -> None:
        vessels = [
            weighed_barrel(held, Decimal("0.945") - Decimal(number) / 100, f"117.{number + 2}")
            for number, held in enumerate(full_barrels(diary)[:3])
        ]
        diary.record(
            "dump", into="PT-3", name="Bourbon whisky", lot=f"DUMP-{month:%y%m}", vessels=vessels
        )

    day = month + timedelta(days=18)
    diary.at(day, "09:00", dump)
    bottling(diary, day + timedelta(days=1), "BOURBON", "PT-3", "BT-1")


def bottling(diary: Diary, day: date, product: str, tank: str, into: str) -> None:
    """Reduce on *day*; on the next filter *tank* into *into*, gauge, bottle and close."""
    proof, ml, case = BOTTLES[product]

    def reduce() -> None:
        diary.record("reduce", vessel=tank, to_proof=f"{proof + Decimal('0.1')}")

    def filter_() -> None:
        wine = diary.gallons_in(tank) - Decimal("0.15")
        diary.record(
            "filter", vessel=tank, to=into, medium="5 µm pads",
            gauge=gauged(wine, proof + Decimal("0.1")),
        )  # fmt: skip

    def open_() -> None:
        diary.record(
            "open-bottling", vessel=into, product=product,
            gauge=gauged(diary.gallons_in(into), proof),
        )  # fmt: skip

    def bottle() -> None:
        each = Decimal(ml) / 1000 * GALLONS_PER_LITER
        bottles = int((diary.gallons_in(into) - Decimal("0.10")) / each)
        diary.record(
            "bottle", vessel=into, store="CASES", cases=bottles // case, loose=bottles % case,
            line="Line 1", materials=used_for(diary, bottles),
        )  # fmt: skip

    diary.at(day, "08:00", reduce)
    diary.at(day + timedelta(days=1), "08:00", filter_)
    diary.at(day + timedelta(days=1), "10:00", open_)
    bottle_checks(diary, day + timedelta(days=1), product, into, ml=ml, proof=proof)
    diary.at(day + timedelta(days=1), "15:30", bottle)
    diary.at(day + timedelta(days=1), "16:15", lambda: diary.record("close-bottling", vessel=into))


def removals(diary: Diary, month: date, index: int) -> None:
    """Each week an invoice to the wholesaler, and a case of each to the tasting room."""
    for week, offset in enumerate((6, 13, 20, 26)):
        day = month + timedelta(days=offset)
        number = f"{month:%y%m}-{week + 1}"
        diary.at(day, "11:00", partial(_remove, diary, number, week))
    diary.at(month + timedelta(days=14), "14:00", lambda: _sample(diary))
    if index % 3 == 1:
        diary.at(month + timedelta(days=15), "15:00", lambda: _break_one(diary))


def in_cases(diary: Diary) -> list[Held]:
    """What stands in the case store, lot by lot."""
    return [held for held in diary.look("CASES") if held.account == "finished"]


def _remove(diary: Diary, number: str, week: int) -> None:
    """Half the cases on hand to the wholesaler; the last week of the month feeds the shop."""
    part = 12 if week == 3 else 2
    rows = [
        {"lot": held.lot.code, "cases": str(cases)}
        for held in in_cases(diary)
        if (cases := -(-(held.amount // (held.lot.per_case or 1)) // part))
    ]
    if not rows:
        return
    if week == 3:
        diary.record(
            "remove", document=f"INV-{number}", to="taxpaid", rows=rows, initials="wr", shop="SHOP"
        )
        return
    diary.record(
        "remove", document=f"INV-{number}", rows=rows, initials="wr",
        consignee="Estuary Wholesale (invented)", consignee_address="9 Quay Street, Marram Point",
        consignee_state="XX",
    )  # fmt: skip


def _sample(diary: Diary) -> None:
    stock = in_cases(diary)
    if stock:
        diary.record(
            "sample", vessel="CASES", lot=stock[-1].lot.code, bottles="1", purpose="laboratory",
            disposition="strength and fill checked, poured away",
        )  # fmt: skip


def _break_one(diary: Diary) -> None:
    stock = in_cases(diary)
    if stock:
        diary.record(
            "lose", vessel="CASES", lot=stock[0].lot.code, bottles="1", cause="breakage",
            note="dropped on the concrete",
        )  # fmt: skip
