"""Empty bottles, closures and labels that leave unused (27 CFR 19.603)."""

from distillery.forms import ChoiceField, RecordForm, RowsField, TextField, VesselField
from distillery.operations.base import Fields, Operation
from distillery.plans import place
from distillery.supplies import SupplyPart, standing_at
from ledger.looking import Look
from ledger.plan import Leg, Place, Plan

# What became of them: (word, caption, boundary, purpose).
WAYS = (
    ("broken", "broken", "loss", "breakage"),
    ("unfit", "unfit, destroyed", "destroyed", "destroy"),
    ("supplier", "sent back to the supplier", "supplier", "return"),
)
WORDS = [(word, caption) for word, caption, _, _ in WAYS]
ENDS = {word: (boundary, purpose) for word, _, boundary, purpose in WAYS}


class ScrapPart(SupplyPart):
    """In a record: ``{"lot": "G-7", "scrapped": 12}``."""

    used = None  # type: ignore[assignment]


class ScrapSuppliesForm(RecordForm):
    """Which, how many, and what became of them."""

    rows = RowsField(ScrapPart, label="Pieces")
    disposition = ChoiceField(choices=WORDS, label="What became of them")
    place_and_manner = TextField(max_length=200, label="Where and how, or to whom")
    vessel = VesselField("bin", required=False, label="From")


class ScrapSupplies(Operation):
    """Counts only; spirits are none of it."""

    slug = "scrap-supplies"
    title = "Scrap bottles, closures or labels"
    group = "Materials and mash"
    form = ScrapSuppliesForm
    hazards = ("glass",)
    kinds = ("bin",)
    accounts = ("materials",)
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """One movement a lot out of its place."""
        boundary, purpose = ENDS[fields["disposition"]]
        legs, lines = [], []
        for row in fields["rows"]:
            row = {**row, "vessel": row["vessel"] or fields["vessel"]}
            lot = row["lot"]
            at = place(standing_at(look, row, row["scrapped"], field="rows"))
            legs.append(Leg(at, Place(boundary, lot.code), purpose, row["scrapped"]))
            told = dict(WORDS)[fields["disposition"]]
            lines.append(f"{row['scrapped']:,} {lot.name}, lot {lot.code}: {told}.")
        return Plan(tuple(legs), lines=tuple(lines))
