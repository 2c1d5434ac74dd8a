"""Finding bottles in their store, and what a number of them carries."""

from distillery.bottles import bottles_worth
from distillery.fill import worth
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Lot, Vessel
from ledger.plan import NewLot


def in_store(look: Look, lot: Lot, store: Vessel | None, *, account: str = "finished") -> Held:
    """What a store has of *lot*; of the only store when none is named.

    A named store without the lot gives an empty holding, so that what was found or removed
    there can still be recorded. Raises BadFact when no store is named and none or several have it.
    """
    found = look.of_lot(lot.code, account)
    if store:
        found = [held for held in found if held.vessel.code == store.code]
        if not found:
            look.vessels[store.code] = store
            return Held(lot, store, account, 0, 0, 0, look.at)
    if len(found) == 1:
        return found[0]
    if not found:
        raise BadFact(f"The book has no bottles of lot {lot.code} at that moment. Name the store.")
    stores = ", ".join(held.vessel.code for held in found)
    raise BadFact(f"Lot {lot.code} stands in several stores ({stores}). Name the store.")


def labelled(lot: Lot | NewLot, bottles: int) -> tuple[int, int]:
    """(wine gallons, proof gallons) in hundredths of *bottles* by the label of *lot*."""
    return worth([(bottles, lot.label_proof or 0)], bottle_ml=lot.bottle_ml or 0)


def carried(held: Held, bottles: int) -> tuple[int, int]:
    """(wine gallons, proof gallons) that *bottles* take along; the label tells beyond the book."""
    if held.amount <= 0:
        return labelled(held.lot, bottles)
    if bottles > held.amount:
        more = labelled(held.lot, bottles - held.amount)
        return held.wine_gallons + more[0], held.proof_gallons + more[1]
    return bottles_worth(held, bottles)
