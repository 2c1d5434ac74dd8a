"""Charge a still with wash, feints, or spirits received for redistillation (27 CFR 19.584-585)."""

from collections.abc import Sequence
from typing import Any

from distillery.charging import RunForm, botanicals_of, refuse_standing, strong_charge
from distillery.drawing import share
from distillery.forms import (
    Part,
    QuantityField,
    RowsField,
    TextField,
    VesselField,
)
from distillery.formulas import listed_question
from distillery.intended import intended, vessel_named
from distillery.kinds import family_field
from distillery.operations.base import Fields, Operation
from distillery.plans import move, one_of, pg, place, room_question, wg
from ledger.accounts import ACCOUNTS
from ledger.classes import class_for
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Premises, Vessel
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.quantities import to_hundredths

CHARGED = ("fermenting", "production", "redistil")


class SourcePart(Part):
    """One vessel that was emptied into the still, or a part of it."""

    vessel = VesselField(label="From")
    volume = QuantityField("volume", required=False, above=1, label="Gallons, empty for all of it")


class ChargeForm(RunForm):
    """What went into the still, and what the run is meant to make."""

    field_order = (
        "at", "note", "still", "sources", "water", "botanicals", "family", "type_code",
        "distilled_at", "formula", "lot",
    )  # fmt: skip
    sources = RowsField(SourcePart, label="Charged from")
    water = QuantityField("volume", required=False, label="Water added")
    family = family_field(label="Meant to make")
    formula = TextField(max_length=40, label="Formula number, where the spirits need one")

    def __init__(self, *args: Any, premises: Premises, **options: Any) -> None:
        if "initial" in options:
            options["initial"] = _placed(options["initial"], premises)
        super().__init__(*args, premises=premises, **options)


def _placed(initial: dict[str, Any], premises: Premises) -> dict[str, Any]:
    """What the floor fills in: its vessel is the still, or else what the still is charged from."""
    found = vessel_named(premises, initial.get("still"))
    if found is None or found.kind == Vessel.Kind.STILL:
        return initial
    return {
        **intended(found, *CHARGED), **initial, "still": "", "sources": [{"vessel": found.code}]
    }  # fmt: skip


def source_in(look: Look, code: str) -> Held:
    """What stands in vessel *code* to be charged. Raises BadFact for anything else."""
    other = next((row for row in look(code) if row.account not in CHARGED), None)
    if other:
        raise BadFact(
            f"{code} holds lot {other.lot.code} in {ACCOUNTS[other.account].title}. Draw it for "
            "redistillation first.",
            field="sources",
        )
    return one_of(look.in_account(code, *CHARGED), code, field="sources")


def _leg(held: Held, volume: Any, to: Place) -> Leg:
    wine = held.wine_gallons if volume is None else to_hundredths(volume)
    if wine == held.wine_gallons:
        return move(held, to, "charge", proof=held.proof_tenths)
    proof = share(held, wine) if held.account != "fermenting" else 0
    return Leg(place(held), to, "charge", 0, wine, proof, proof=held.proof_tenths)


def _lot(fields: Fields, sources: Sequence[Held]) -> NewLot:
    """The run: intended class until the gauge (columns of TTB F 5110.40 by what is meant)."""
    kinds = [held.lot.designation for held in sources]
    name = f"{fields['type_code'] or fields['family']} run".capitalize()
    return NewLot(
        fields["lot"] or "R-{n}", "run", "pg", name,
        class_code=class_for(fields["family"], fields["distilled_at"] or 0),
        type_code=fields["type_code"],
        material=next((kind.material for kind in kinds if kind.material), ""),
        redistilled=any(
            held.account == "redistil" or held.lot.designation.redistilled for held in sources
        ),
        formula=fields["formula"] or _alike(sources, "formula"),
        owner=_alike(sources, "owner"),
    )  # fmt: skip


def _alike(sources: Sequence[Held], name: str) -> str:
    """The fact *name* of the sources, where all have the same; else ""."""
    found = {getattr(held.lot, name) for held in sources}
    return found.pop() if len(found) == 1 else ""


class Charge(Operation):
    """Everything that goes in becomes one run, which stands in the still until it is closed."""

    slug = "charge"
    title = "Charge a still"
    group = "Distil"
    form = ChargeForm
    hazards = ("start_run",)
    kinds = ("still", "fermenter", "receiver", "tank", "tote")
    accounts = ("", "materials", *CHARGED)
    vessel_field = "still"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """The run lot in the still, its sources as parents."""
        still = fields["still"]
        refuse_standing(look, still)
        sources = [source_in(look, row["vessel"].code) for row in fields["sources"]]
        lot = _lot(fields, sources)
        to = Place("production", lot.code, still.code)
        rows = zip(sources, fields["sources"], strict=True)
        legs = [_leg(held, row["volume"], to) for held, row in rows]
        if fields["water"]:
            water = to_hundredths(fields["water"])
            legs.append(Leg(Place("water", lot.code), to, "reduce", 0, water))
        wine = sum(leg.wine_gallons for leg in legs)
        proof = sum(leg.proof_gallons for leg in legs)
        has_wash = any(held.account == "fermenting" for held in sources)
        basket, used = botanicals_of(
            look, fields["botanicals"], still=still, run=lot.code,
            proof=None if has_wash else proof,
        )  # fmt: skip
        lines = (f"{wg(wine)}, {pg(proof)} known, into {still.code}.", *used.told())
        # Wash is never that strong, whatever its gravity reads.
        asked = () if has_wash else strong_charge(wine, proof)
        return Plan(
            (*legs, *basket), (lot,), slips=used.slip(), lines=lines,
            questions=(
                *asked, *listed_question(look.premises, lot.formula),
                *room_question(still, wine, look),
            ),
        )  # fmt: skip
