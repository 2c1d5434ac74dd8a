"""Cases and bottles of lots that stand in a store: the row that names them, and how many."""

from json import loads
from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottled import in_store
from distillery.forms import LotField, Part, QuantityField, TextField
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Entry, Lot, Vessel
from ledger.plan import Question

ACCOUNTS = ("finished", "taxpaid")


class CasedPart(Part):
    """Cases, single bottles or both of one lot, and the numbers on the cases.

    In a record: ``{"lot": "K-2", "cases": 3, "bottles": 2, "case_serials": "41-43"}``.
    """

    lot = LotField("bottled", label="Lot")
    cases = QuantityField("count", required=False, label="Cases")
    bottles = QuantityField("count", required=False, label="Single bottles")
    case_serials = TextField(max_length=80, label="Case numbers")

    def clean(self) -> dict[str, Any]:
        """Whole numbers, and at least one bottle."""
        data = super().clean() or {}
        for name in ("cases", "bottles"):
            data[name] = int(data.get(name) or 0)
        if not self.errors and not (data["cases"] or data["bottles"]):
            raise ValidationError({"cases": "Give cases or bottles, like 3."})
        return data


def count_in(row: dict[str, Any]) -> int:
    """All bottles of a row. Raises BadFact where the lot's cases have no size."""
    lot: Lot = row["lot"]
    if row["cases"] and not lot.per_case:
        raise BadFact(f"Lot {lot.code} has no bottles a case on record. Give bottles.")
    return int(row["cases"] * (lot.per_case or 0) + row["bottles"])


def lots_cased(entry: Entry) -> list[Lot]:
    """The lots whose bottles a recasing put into cases or packs, oldest first."""
    found = Lot.objects.filter(premises=entry.premises_id, code__in=codes_cased(entry))
    return list(found.order_by("pk"))


def codes_cased(entry: Entry) -> set[str]:
    """The codes of the lots that lots_cased finds, as the record tells them."""
    rows = loads(entry.form).get("rows") or []
    return {str(row.get("lot", "")) for row in rows if isinstance(row, dict)}


def standing(look: Look, row: dict[str, Any], store: Vessel) -> Held:
    """What *store* holds of the row's lot, in bond or tax paid; nothing where it has none."""
    found = [held for held in look(store.code) if held.lot.code == row["lot"].code]
    accounts = [held.account for held in found if held.account in ACCOUNTS]
    account = accounts[0] if len(accounts) == 1 else ACCOUNTS[0]
    return in_store(look, row["lot"], store, account=account)


def more_question(held: Held, bottles: int) -> tuple[Question, ...]:
    """Asks when more bottles were handled than the book has there."""
    if bottles <= held.amount:
        return ()
    text = (
        f"The book has {max(0, held.amount):,} bottles of lot {held.lot.code} in "
        f"{held.vessel.code} and this is about {bottles:,}. Keep it?"
    )
    return (Question("more-than-book", text),)
