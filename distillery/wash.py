"""Wash, beer and other distilling material: what stands in a vessel, and how strong it came."""

from decimal import Decimal
from json import loads

from ledger import units
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Lot

RECEIVED = "receive-distilling-material"
HOLDERS = ("fermenter", "tank", "tote")


def wash_in(look: Look, code: str, *, field: str) -> list[Held]:
    """The wash that stands in vessel *code*; BadFact when it holds anything else."""
    held = look(code)
    other = next((row for row in held if row.account != "fermenting"), None)
    if other:
        raise BadFact(f"{code} holds lot {other.lot.code}, which is no wash.", field=field)
    return held


def one_wash(look: Look, code: str, *, field: str) -> Held:
    """The one lot of wash in vessel *code*. Raises BadFact for none, several, or spirits."""
    held = wash_in(look, code, field=field)
    if len(held) == 1:
        return held[0]
    told = ", ".join(row.lot.code for row in held)
    text = f"{code} holds several lots ({told})." if held else f"No wash stands in {code}."
    raise BadFact(f"{text[:-1]} by the book at that moment.", field=field)


def received_abv(lot: Lot) -> Decimal | None:
    """Per cent of alcohol by volume told when *lot* was received; None for what was made here."""
    if lot.opened_by.operation != RECEIVED:
        return None
    typed = loads(lot.opened_by.form).get("abv")
    return units.parse(str(typed), "percent") if typed else None
