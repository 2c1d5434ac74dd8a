"""Draw small samples from barrels with a thief (27 CFR 19.434, 19.616)."""

from decimal import Decimal
from typing import Any

from distillery import barrel_life
from distillery.barrel_life import Kind
from distillery.drawing import allocate
from distillery.forms import (
    ChoiceField,
    Part,
    QuantityField,
    RecordForm,
    RowsField,
    TextField,
    VesselField,
)
from distillery.operations.base import Fields, Operation
from distillery.plans import one_of, pg, place, tenths
from distillery.samples import keep_pull, milliliters, moved_by, take_back
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Entry
from ledger.plan import Leg, Place, Plan

ACCOUNTS = ("storage", "processing")
PURPOSES = [
    ("laboratory", "laboratory analysis"),
    ("research", "research, development or testing"),
    ("returned", "looked at and poured back"),
]


class ThiefPart(Part):
    """One barrel: how much was drawn, and what was found."""

    barrel = VesselField("barrel", label="Barrel")
    volume = QuantityField("volume", unit="mL", above=1, label="Drawn")
    proof = QuantityField("proof", required=False, label="Proof at 60 °F, if read")
    words = TextField(max_length=200, label="Color, nose, taste")


class BarrelSampleForm(RecordForm):
    """Barrels of one lot, why they were sampled, and what became of it."""

    samples = RowsField(ThiefPart, label="Samples, of one lot")
    purpose = ChoiceField(choices=PURPOSES, label="For")
    disposition = TextField(required=True, label="What became of it")
    recipient = TextField(max_length=120, label="Outside recipient, name and address")
    schedule = TextField(max_length=120, label="Sampling schedule it follows, if any")


class BarrelSample(Operation):
    """A pull needs no gauge: milliliters at the book's strength, in a running total of the lot."""

    slug = "barrel-sample"
    title = "Sample barrels"
    group = "Store"
    form = BarrelSampleForm
    hazards = ("ethanol_vapour", "barrels", "tasting")
    kinds = ("barrel",)
    accounts = ACCOUNTS
    vessel_field = "samples-barrel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """Free of tax out of the account; nothing moves when it was poured back."""
        rows = fields["samples"]
        helds = _helds(rows, look)
        drawn = [milliliters(row["volume"]) for row in rows]
        lines = tuple(
            f"{held.vessel.code}: {ml:f} mL of lot {held.lot.code}."
            for held, ml in zip(helds, drawn, strict=True)
        )
        if fields["purpose"] == "returned":
            return Plan(lines=(*lines, "Poured back: nothing moves."))
        wine, proof = moved_by(helds[0], sum(drawn, Decimal()))
        parts = [int(ml * 100) or 1 for ml in drawn]
        shares = zip(helds, allocate(wine, parts), allocate(proof, parts), strict=True)
        legs = tuple(
            Leg(
                place(held), Place("research", held.lot.code), "sample", 0, gallons, proof_gallons,
                proof=held.proof_tenths,
            )
            for held, gallons, proof_gallons in shares
            if gallons or proof_gallons
        )  # fmt: skip
        rest = () if proof else ("Under a hundredth: booked with the lot's next pulls.",)
        return Plan(
            legs, lines=(*lines, f"{pg(proof)}: {dict(PURPOSES)[fields['purpose']]}.", *rest)
        )

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """The pull for the lot's running total, and what was found for each barrel's page."""
        rows = fields["samples"]
        if fields["purpose"] != "returned":
            look = Look(entry.premises, entry.happened_at)
            total = sum((milliliters(row["volume"]) for row in rows), Decimal())
            keep_pull(entry, plan, _helds(rows, look)[0], total)
        barrel_life.note_each(
            entry, Kind.SAMPLED,
            [
                (
                    row["barrel"],
                    {
                        "proof": None if row["proof"] is None else tenths(row["proof"]),
                        "words": f"{milliliters(row['volume']):f} mL. {row['words']}".strip(),
                    },
                )
                for row in rows
            ],
        )  # fmt: skip

    def taken_back(self, entry: Entry) -> None:
        """Nothing was drawn."""
        take_back(entry)
        barrel_life.take_back(entry)


def _helds(rows: list[dict[str, Any]], look: Look) -> list[Held]:
    codes = [row["barrel"].code for row in rows]
    if len(set(codes)) != len(codes):
        raise BadFact("A barrel stands here twice. Give each one row.", field="samples")
    look(*codes)
    helds = [one_of(look.in_account(code, *ACCOUNTS), code, field="samples") for code in codes]
    lots = {(held.lot.code, held.account) for held in helds}
    if len(lots) > 1:
        told = ", ".join(sorted(code for code, _ in lots))
        raise BadFact(f"These hold several lots ({told}). Record each lot's.", field="samples")
    return helds
