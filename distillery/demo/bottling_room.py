"""The bottling room: reduce, filter, bottle; then cases leave, are sampled, broken, counted."""

from datetime import date, timedelta
from decimal import Decimal
from functools import partial

from distillery.demo.bottle_checks import bottle_checks
from distillery.demo.bottle_supplies import used_for
from distillery.demo.gin import NEUTRAL
from distillery.demo.plant import BARRELS, PRODUCTS, barrel_code
from distillery.demo.steps import Diary, gauged
from ledger.gauging import package_weight, pounds_per_wine_gallon
from ledger.looking import Held

BOTTLES = {code: (Decimal(proof), ml, case) for code, _, _, _, proof, ml, case, _ in PRODUCTS}
GALLONS_PER_LITER = Decimal("0.264172")  # 27 CFR 19.582


def gin(diary: Diary, month: date, index: int) -> None:
    """The month's gin rests three days, then it is cut and bottled."""
    _bottling(diary, month + timedelta(days=9), "GIN", "PT-1", "BT-1")


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
    _bottling(diary, month + timedelta(days=12), "VODKA", "PT-2", "BT-2")


def bourbon(diary: Diary, month: date, index: int) -> None:
    """From the seventh month, every other month the three oldest barrels."""
    if index < 7 or index % 2 == 0:
        return

    def dump() -> None:
        codes = [barrel_code(number) for number in range(1, BARRELS + 1)]
        full = sorted(diary.look(*codes), key=lambda held: (held.lot.aged_from, held.vessel.code))
        diary.record(
            "dump", into="PT-3", name="Bourbon whisky", lot=f"DUMP-{month:%y%m}",
            vessels=[_regauged(held, number) for number, held in enumerate(full[:3])],
        )  # fmt: skip

    day = month + timedelta(days=18)
    diary.at(day, "09:00", dump)
    _bottling(diary, day + timedelta(days=1), "BOURBON", "PT-3", "BT-1")


def _regauged(held: Held, number: int) -> dict[str, str]:
    """A barrel as found on the scale: five to seven per cent lighter than it was filled."""
    kept, proof = Decimal("0.945") - Decimal(number) / 100, f"117.{number + 2}"
    net = Decimal(held.wine_gallons) / 100 * kept * pounds_per_wine_gallon(proof)
    tare = Decimal("53.5")  # wet: the wood has drunk since it was weighed empty
    return {
        "vessel": held.vessel.code, "gross": f"{package_weight(net + tare, capacity_gal=15)} lb",
        "tare": f"{tare} lb", "proof": proof,
    }  # fmt: skip


def _bottling(diary: Diary, day: date, product: str, tank: str, into: str) -> None:
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


def _stock(diary: Diary) -> list[Held]:
    return [held for held in diary.look("CASES") if held.account == "finished"]


def _remove(diary: Diary, number: str, week: int) -> None:
    """Half the cases on hand to the wholesaler; the last week of the month feeds the shop."""
    part = 12 if week == 3 else 2
    rows = [
        {"lot": held.lot.code, "cases": str(cases)}
        for held in _stock(diary)
        if (cases := -(-(held.amount // (held.lot.per_case or 1)) // part))
    ]
    if not rows:
        return
    shop = week == 3
    diary.record(
        "remove", document=f"INV-{number}", rows=rows, initials="wr",
        consignee="Tasting room, Marram Point" if shop else "Estuary Wholesale (invented)",
        consignee_address="1 Dune Road" if shop else "9 Quay Street, Marram Point",
        consignee_state="XX",
    )  # fmt: skip


def _sample(diary: Diary) -> None:
    stock = _stock(diary)
    if stock:
        diary.record(
            "sample", vessel="CASES", lot=stock[-1].lot.code, bottles="1", purpose="laboratory",
            disposition="strength and fill checked, poured away",
        )  # fmt: skip


def _break_one(diary: Diary) -> None:
    stock = _stock(diary)
    if stock:
        diary.record(
            "lose", vessel="CASES", lot=stock[0].lot.code, bottles="1", cause="breakage",
            note="dropped on the concrete",
        )  # fmt: skip
