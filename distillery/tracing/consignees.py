"""To whom something went, as the entry's form tells it."""

from dataclasses import dataclass
from json import loads
from typing import Any

from ledger.models import Entry

WHO = ("consignee", "recipient", "returned_by", "whom")
WHERE = (
    "consignee_address", "recipient_address", "returned_by_address", "consignee_state",
    "consignee_number", "registry",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Consignee:
    """Name and address as written down; empty where the record has none."""

    name: str = ""
    address: str = ""


def consignee_of(entry: Entry, account: str) -> Consignee:
    """Whom *entry* names; our own shop for what went to the taxpaid stock."""
    form = loads(entry.form or "{}")
    name = _first(form, WHO)
    if not name and account == "taxpaid":
        return Consignee("our own tasting room or shop")
    parts = (_text(form.get(part)) for part in WHERE)
    return Consignee(name, ", ".join(dict.fromkeys(part for part in parts if part)))


def _first(form: dict[str, Any], names: tuple[str, ...]) -> str:
    return next((found for name in names if (found := _text(form.get(name)))), "")


def _text(value: Any) -> str:
    return value.strip() if isinstance(value, str) else ""
