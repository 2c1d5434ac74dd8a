"""Documents of removal: for what purposes spirits leave, which numbers are used, what is not gone.

27 CFR 19.611 and 19.612 for tax, 19.464 for goods determined and not yet gone; free of tax or
without payment of tax 26 U.S.C. 5214(a) and, for exportation and what goes with it, 27 CFR
part 28 (the citations of 5214 and part 28 from memory).
"""

from dataclasses import dataclass
from datetime import datetime
from json import loads

from django.db.models import Exists, OuterRef

from ledger.errors import BadFact
from ledger.models import Entry, Movement, Premises, Vessel

REMOVE, GONE, CANCEL = "remove", "goods-gone", "cancel-invoice"


@dataclass(frozen=True, slots=True)
class Purpose:
    """Where spirits go on removal: the account, the words, and the law if tax is not paid."""

    code: str
    words: str
    law: str = ""

    @property
    def is_taxed(self) -> bool:
        """Whether tax is determined."""
        return not self.law


PURPOSES = {
    one.code: one
    for one in [
        Purpose("tax_determined", "a customer, tax determined"),
        Purpose("taxpaid", "our own tasting room or shop, tax determined"),
        Purpose("export", "exportation", "27 CFR part 28"),
        Purpose("us", "use of the United States", "26 U.S.C. 5214(a)(2)"),
        Purpose("hospital", "hospital, scientific or educational use", "26 U.S.C. 5214(a)(3)"),
        Purpose("ftz", "a foreign trade zone", "27 CFR part 28"),
        Purpose("cmw", "a customs manufacturing bonded warehouse", "27 CFR part 28"),
        Purpose("cbw", "a customs bonded warehouse", "27 CFR part 28"),
        Purpose("vessels", "supplies on vessels or aircraft", "27 CFR part 28"),
        Purpose("winery", "a bonded winery, for wine production", "26 U.S.C. 5214(a)(5)"),
    ]
}


def removal_of(premises: Premises, document: str) -> Entry | None:
    """The removal, not taken back, that bears *document*."""
    rows = Entry.objects.filter(premises=premises, operation=REMOVE, document=document)
    return rows.filter(reversed_by=None).first()


def check_document(premises: Premises, document: str) -> None:
    """Refuse a number that a removal bears already, or that was voided (27 CFR 19.611)."""
    used = removal_of(premises, document)
    if used:
        raise BadFact(
            f"Document {document} is already removal entry {used.number}. One document is one "
            "withdrawal (27 CFR 19.611); give this one its own number.",
            field="document",
        )
    rows = Entry.objects.filter(premises=premises, operation=CANCEL, document=document)
    voided = rows.filter(reversed_by=None).first()
    if voided:
        raise BadFact(
            f"Document {document} was voided by entry {voided.number}, and a voided number is "
            "kept. Give this one its own number.",
            field="document",
        )


def gone_by(premises: Premises, document: str, *, removal: Entry) -> Entry | None:
    """The entry by which the goods of *document* left the plant, when it was recorded apart."""
    rows = Entry.objects.filter(premises=premises, operation=GONE, document=document)
    return rows.filter(number__gt=removal.number, reversed_by=None).first()


def is_marked_not_gone(removal: Entry) -> bool:
    """Whether the removal was recorded with its goods still here."""
    told = str(loads(removal.form).get("not_gone") or "")
    return told.lower() not in ("", "false", "0")


def not_gone(premises: Premises, *, store: Vessel | None = None) -> list[Entry]:
    """Removals whose goods still stand at the plant, oldest first (27 CFR 19.464).

    With *store* only those whose goods were taken out of its stock.
    """
    rows = Entry.objects.filter(
        premises=premises, operation=REMOVE, reversed_by=None, form__contains='"not_gone"'
    )
    if store:
        rows = rows.filter(Exists(Movement.objects.filter(entry=OuterRef("pk"), from_vessel=store)))
    return [
        row for row in rows.order_by("happened_at", "number")
        if is_marked_not_gone(row) and not gone_by(premises, row.document, removal=row)
    ]  # fmt: skip


def where_it_stands(removal: Entry) -> str:
    """Where its goods wait, as the removal tells; "" when it does not."""
    return str(loads(removal.form).get("stands_at") or "")


def lateness(premises: Premises, at: datetime, now: datetime) -> list[str]:
    """How late the record is, if it is: 27 CFR 19.580(b) asks for the same day."""
    days = (now.astimezone(premises.zone).date() - at.astimezone(premises.zone).date()).days
    if days <= 0:
        return []
    return [
        f"Recorded {days:,} day{'' if days == 1 else 's'} after the removal; "
        "27 CFR 19.580(b) asks for the same day."
    ]
