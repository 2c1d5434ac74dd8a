"""What does not happen every month: destroyed, returned, reworked, shipped, broken, told late."""

from collections.abc import Callable
from datetime import date, timedelta
from functools import partial
from json import loads

from distillery.demo.bottling_room import in_cases
from distillery.demo.steps import Diary, gauged
from ledger.models import Entry

STILLER = {"person": "Linnet (invented)", "person_title": "Stiller"}
SIGNED = {"signer": "Wren (invented)", "signer_title": "Owner", "statement": True}
CUSTOMER = {
    "returned_by": "Estuary Wholesale (invented)",
    "returned_by_address": "9 Quay Street, Marram Point",
}


def odd_days(diary: Diary, month: date, index: int) -> None:
    """Each in its month of the season; the feints nobody wants every half-year."""
    for at, offset, clock, step in ODD:
        if at == index:
            diary.at(month + timedelta(days=offset), clock, partial(step, diary, month))
    if index % 4 == 3:
        diary.at(month + timedelta(days=25), "10:00", partial(_foreshots, diary))
    if index % 6 == 5:
        diary.at(month + timedelta(days=27), "09:00", partial(_old_heads, diary))


def _foreshots(diary: Diary) -> None:
    """What was taken off first is never drunk: gauged and poured away (27 CFR 19.617)."""
    strength = diary.proof_gallons_in("FORE") * 100 / diary.gallons_in("FORE")
    diary.record(
        "destroy", place="yard", manner="diluted and poured to the sump", **STILLER,
        vessels=[{"vessel": "FORE", **gauged(diary.gallons_in("FORE"), strength)}],
    )  # fmt: skip


def _old_heads(diary: Diary) -> None:
    diary.record(
        "retire-feints", vessel="HEADS", empties=True, fate="cleaning",
        manner="on the copper of the column", place="still house", **STILLER,
    )  # fmt: skip


def _drop(diary: Diary, month: date) -> None:
    diary.record(
        "break-bottles", vessel="BT-1", bottles="2", how="slipped off the belt before casing",
        seen_by="Linnet (invented)",
    )  # fmt: skip


def _count_again(diary: Diary, month: date) -> None:
    """The invoice of that morning taken back and recorded rightly, as one."""
    rows = Entry.objects.filter(premises=diary.premises, operation="remove").order_by("-number")
    old = rows[0]
    form = loads(old.form)
    first = max(form["rows"], key=lambda row: int(row["cases"]))
    first["cases"] = str(int(first["cases"]) - 1)
    fields = {name: value for name, value in form.items() if name not in ("operation", "confirm")}
    diary.record(
        "remove", **fields, instead_of=str(old.number),
        reason="One case more was written than was loaded.",
    )  # fmt: skip


def _back(diary: Diary, month: date) -> None:
    """Two cases of gin with a crooked label, dumped to be bottled again."""
    gin = next(held for held in in_cases(diary) if held.lot.product == "GIN")
    diary.record(
        "return-to-bond", document=f"RET-{month:%y%m}", purpose="rebottling", lot=gin.lot.code,
        cases="2", account="processing", vessel="PT-1", gauge=gauged("4.75", "90"), dumped=True,
        tax_paid="return of the quarter, at 13.34", credit_memo=f"CM-{month:%y%m}", **CUSTOMER,
    )  # fmt: skip


def _rework(diary: Diary, month: date) -> None:
    """A case of vodka with a leaking closure goes to the base of the next vodka."""
    vodka = next(held for held in in_cases(diary) if held.lot.product == "VODKA")
    diary.record(
        "rework", bottles=[{"lot": vodka.lot.code, "store": "CASES", "cases": "1"}], into="PT-2",
        name="Vodka", family="vodka", type_code="vodka", formula="XX-2",
        lot=f"REWORK-{month:%y%m}",
    )  # fmt: skip


def _ship(diary: Diary, month: date) -> None:
    diary.record(
        "ship-in-bond", consignee="Skerry Spirits (invented)", registry="DSP-XX-00001",
        consignee_address="Skerry", application="XX-31", container="portable", sealed=True,
        seals="0071, 0072", conveyance="truck", **SIGNED,
        vessels=[{"vessel": "NS-2", "part": True, **gauged("30.00", "190")}],
    )  # fmt: skip


def _shelf(diary: Diary, month: date) -> None:
    """A count nobody asks for: the dry goods shelf, weighed."""
    rows = [
        {"vessel": "SHELF", "lot": held.lot.code, "as_book": True} for held in diary.look("SHELF")
    ]
    day = diary.now.date().isoformat()
    diary.record("count", kind="other", as_of=day, rows=rows, counter="Linnet (invented)")


def _late(diary: Diary, month: date) -> None:
    """A laboratory bottle of the month before, which is closed and filed: it is to be amended."""
    at = diary.now.replace(day=1) - timedelta(days=4)
    diary.record(
        "sample", at=at.strftime("%Y-%m-%d 16:00"), vessel="CASES",
        lot=min(in_cases(diary), key=lambda held: held.lot.pk).lot.code, bottles="1",
        purpose="laboratory", disposition="sent for the yearly analysis, used up", late="amend",
        reason="The slip lay in the laboratory's folder.",
    )  # fmt: skip


# month of the season, days after its first, clock, what
ODD: tuple[tuple[int, int, str, Callable[[Diary, date], None]], ...] = (
    (3, 10, "14:00", _drop),
    (4, 6, "11:20", _count_again),
    (6, 20, "17:00", _shelf),
    (8, 16, "10:00", _back),
    (10, 11, "14:00", _rework),
    (12, 17, "10:00", _ship),
    (13, 18, "09:30", _late),
)
