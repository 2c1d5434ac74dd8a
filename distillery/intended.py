"""What spirits in a vessel are meant to become, so that a form begun there need not ask again."""

from typing import Any

from ledger.classes import CLASSES
from ledger.models import Holding, Premises, Vessel
from ledger.models.book import LIVE


def vessel_named(premises: Premises, code: Any) -> Vessel | None:
    """The plant's vessel of that code, if there is one."""
    return Vessel.objects.filter(premises=premises, code=code).first() if code else None


def intended(vessel: Vessel, *accounts: str) -> dict[str, str]:
    """``family`` and ``type_code`` of what *vessel* holds in *accounts*, as the book has them;
    empty where it holds nothing, several lots or what has no class yet."""
    rows = list(Holding.objects.filter(LIVE, vessel=vessel, account__in=accounts)[:2])
    kind = rows[0].lot.designation if len(rows) == 1 else None
    if kind is None or kind.class_code not in CLASSES:
        return {}
    return {"family": CLASSES[kind.class_code].family, "type_code": kind.type_code}
