"""Pulls too small for the book alone: a running total of a lot moves it by whole hundredths.

A hundredth of a gallon is 38 mL. Each pull is kept as it was, in milliliters at the book's
strength; the book moves the rounded sum of all pulls of the lot in its account, less what
earlier ones moved. So nothing is lost, and no pull needs a gauge (27 CFR 19.616).
"""

from decimal import Decimal

from distillery.models import SampleTaken
from ledger.errors import BadFact
from ledger.looking import Held
from ledger.models import Entry
from ledger.plan import Plan
from ledger.quantities import to_hundredths

ML_A_GALLON = Decimal("3785.411784")  # exact: 231 cubic inches of 25.4 mm
GALLONS_AN_ML = Decimal("0.000264172")  # 27 CFR 19.582


def milliliters(gallons: Decimal) -> Decimal:
    """*gallons* in mL to the hundredth, as kept."""
    return (gallons * ML_A_GALLON).quantize(Decimal("0.01"))


def moved_by(held: Held, volume_ml: Decimal) -> tuple[int, int]:
    """(wine gallons, proof gallons) in hundredths that this pull of *volume_ml* moves.

    Both may be zero; a later pull then moves them. Raises BadFact when the book has no gallons
    there, so that no strength is known.
    """
    if held.proof_tenths is None:
        raise BadFact(f"The book has no gallons in {held.vessel.code} to sample.", field="vessel")
    rows = SampleTaken.objects.filter(lot=held.lot, account=held.account, is_void=False)
    pulls = [(volume_ml, held.proof_tenths)]
    wine = proof = 0
    for row in rows:
        pulls.append((row.volume_ml, row.proof))
        wine, proof = wine + row.wine_gallons, proof + row.proof_gallons
    all_wine = to_hundredths(sum((ml for ml, _ in pulls), Decimal()) * GALLONS_AN_ML)
    exact = sum((ml * tenths for ml, tenths in pulls), Decimal()) * GALLONS_AN_ML / 1000
    return max(0, all_wine - wine), max(0, to_hundredths(exact) - proof)


def keep_pull(entry: Entry, plan: Plan, held: Held, volume_ml: Decimal) -> None:
    """The pull beside its entry; *held* is the holding it came from, before or after it."""
    legs = [leg for leg in plan.legs if leg.purpose == "sample"]
    strength = next((leg.proof for leg in legs if leg.proof is not None), held.proof_tenths)
    SampleTaken.objects.create(
        premises=entry.premises, entry=entry, lot=held.lot, vessel=held.vessel,
        account=held.account, volume_ml=volume_ml, proof=strength or 0,
        wine_gallons=sum(leg.wine_gallons for leg in legs),
        proof_gallons=sum(leg.proof_gallons for leg in legs),
    )  # fmt: skip


def take_back(entry: Entry) -> None:
    """The pull of a reversed *entry* no longer counts in the running total."""
    SampleTaken.objects.filter(entry=entry).update(is_void=True)
