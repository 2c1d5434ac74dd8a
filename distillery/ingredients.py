"""What goes into a batch beside spirits: flavorings, sugar, acids, coloring, plants, wine."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from distillery.drawing import draw
from distillery.flavorings import alcohol_in
from distillery.forms import ChoiceField, Part, QuantityField, VesselField
from distillery.identity import Made
from distillery.material_draws import DrawPart, draw_legs
from distillery.plans import place
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Lot
from ledger.plan import Leg, Place
from ledger.quantities import amount_from_book

WINE_HOLDERS = ("tank", "tote", "bottling_tank", "receiver", "barrel")
USES = [
    ("", "by its kind"), ("flavoring", "flavoring"), ("sugar", "sugar or other sweetener"),
    ("coloring", "coloring, caramel too"), ("acid", "acid"), ("steeped", "plants steeped"),
    ("chips", "oak chips"), ("other", "other"),
]  # fmt: skip
GRAMS = {"lb": Decimal("453.59237"), "g": Decimal(1)}  # exact since 1959
GALLONS_A_LITER = Decimal("0.264172")  # 27 CFR 19.582


class IngredientPart(DrawPart):
    """A material lot, how much of it, and what for."""

    use = ChoiceField(choices=USES, required=False, label="Used as")


class WinePart(Part):
    """Bulk wine out of storage or processing: a volume, or all of it when left empty."""

    vessel = VesselField(*WINE_HOLDERS, label="Wine from")
    volume = QuantityField("volume", required=False, above=1, label="Gallons, empty for all")


def use_of(row: dict[str, Any]) -> str:
    """What a row's material is used as: as told, else by its kind and whether it has alcohol."""
    if row["use"]:
        return str(row["use"])
    if row["lot"].designation.material == "botanical":
        return "steeped"
    return "flavoring" if row["lot"].unit == "gal" else "other"


def material_legs(look: Look, rows: list[dict[str, Any]], into: Place) -> tuple[Leg, ...]:
    """Each material out of its bin, and the alcohol it carries into the batch.

    Pounds, grams and gallons of material leave the book; wine and proof gallons of a flavoring
    go to *into* (TTB F 5110.28 line 4). Raises BadFact beside "materials".
    """
    used = draw_legs(look, rows, into=into.lot, purpose="batch", field="materials")
    amounts: dict[Place, int] = {}
    for leg in used:
        amounts[leg.origin] = amounts.get(leg.origin, 0) + leg.amount
    strong = []
    for at, amount in amounts.items():
        wine, proof = alcohol_in(_held(look, at), amount)
        if proof:
            strong.append(Leg(at, into, "flavor", 0, wine, proof))
    return (*used, *strong)


def _held(look: Look, at: Place) -> Held:
    return next(held for held in look.of_lot(at.lot, "materials") if held.vessel.code == at.vessel)


def wine_legs(look: Look, rows: list[dict[str, Any]], into: Place) -> tuple[Leg, ...]:
    """Wine mixed with the batch: out of storage it first enters processing as wine.

    TTB F 5110.28 lines 2(b), 10(b) and 5(c). Raises BadFact beside "wines".
    """
    legs: list[Leg] = []
    for row in rows:
        held = _wine_in(look, row["vessel"].code)
        whole = row["volume"] is None
        one = draw(held, volume_gal=row["volume"], is_whole=whole, field="wines")
        at = place(held)
        if held.account == "storage":
            there = Place("processing", held.lot.code, into.vessel)
            legs.append(Leg(at, there, "transfer", 0, one.wine, one.proof, proof=one.strength))
            at = there
        legs.append(Leg(at, into, "mix_wine", 0, one.wine, one.proof, proof=one.strength))
    return tuple(legs)


def _wine_in(look: Look, code: str) -> Held:
    found = look.in_account(code, "storage", "processing")
    wine = [held for held in found if held.lot.designation.class_code == "wine"]
    if len(wine) == 1:
        return wine[0]
    if found and not wine:
        raise BadFact(
            f"{code} holds {found[0].lot.name}, which is not wine. Blend it instead.",
            field="wines",
        )
    raise BadFact(f"The book has no wine in {code} at that moment.", field="wines")


def acts_of(uses: Iterable[str], *, wine: bool, carbonated: bool, family: str) -> list[str]:
    """What adding these does that needs a formula (27 CFR 5.193, 19.348).

    Coloring alone needs none; nor do sugar and acid in vodka, which 5.142 sets limits for.
    """
    uses = set(uses)
    plain = {"coloring", "sugar", "acid"} if family in ("vodka", "spirits") else {"coloring"}
    acts = ["steeping"] if "steeped" in uses else []
    if uses - plain - {"steeped"} or wine:
        acts.append("compounding")
    return [*acts, "carbonating"] if carbonated else acts


def grams(lot: Lot, amount: int) -> Decimal:
    """The weight of *amount* of *lot* in grams; none where it is measured in gallons."""
    return amount_from_book(amount, lot.unit) * GRAMS.get(lot.unit, Decimal(0))


def made_with(rows: list[dict[str, Any]], *, wine: int, has_wine: bool) -> Made:
    """What 27 CFR part 5 asks of what was added to *wine* hundredths of a gallon of batch."""
    words = {"flavoring": "flavoring", "sugar": "sugar", "coloring": "coloring"}
    used = {words.get(use_of(row), "blending") for row in rows} | ({"wine"} if has_wine else set())
    return Made(
        added=frozenset(used - {"sugar"}),
        sugar_g_per_l=grams_a_liter(rows, "sugar", wine),
        citric_g_per_l=grams_a_liter(rows, "acid", wine),
    )


def grams_a_liter(rows: list[dict[str, Any]], use: str, wine: int) -> Decimal | None:
    """Grams in a liter of the batch of what was used as *use*; None where nothing was."""
    weight = sum(
        (grams(row["lot"], row["amount"]) for row in rows if use_of(row) == use), Decimal()
    )
    if not weight or not wine:
        return None
    return weight / (Decimal(wine) / 100 / GALLONS_A_LITER)
