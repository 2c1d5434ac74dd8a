"""Cases opened and bottles cased anew: mixed cases, gift packs, bottles for single sale."""

from dataclasses import replace
from typing import Any

from django.core.exceptions import ValidationError

from distillery.case_serials import Serials, keep_serials, next_serials
from distillery.cased import ACCOUNTS, CasedPart, count_in, more_question, standing
from distillery.forms import (
    ChoiceField,
    QuantityField,
    RecordForm,
    RowsField,
    TextField,
    VesselField,
)
from distillery.models import Product
from distillery.operations.base import Fields, Operation
from distillery.supplies import SupplyPart, supply_legs, told
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Entry, Premises
from ledger.plan import Plan, Question, Slip

KINDS = [
    ("cases", "full cases"), ("mixed", "mixed cases"), ("gift", "gift packs"),
    ("opened", "opened only, the bottles stand single"),
    ("filled", "single bottles put into cases already numbered"),
]  # fmt: skip

NO_CASE = ("opened", "filled")


class RecaseForm(RecordForm):
    """What was opened, and what was made of it."""

    vessel = VesselField("store", label="Store")
    rows = RowsField(CasedPart, label="Opened or taken: cases and single bottles")
    kind = ChoiceField(choices=KINDS, label="Made of them")
    cases = QuantityField("count", required=False, label="New cases or packs")
    per_case = QuantityField("count", required=False, label="Bottles in each")
    letters = TextField(
        max_length=4, label="Letters of their numbers, empty for the plant's series"
    )
    first_case = QuantityField(
        "count", required=False, above=1, label="Number of the first, empty for the next"
    )
    materials = RowsField(SupplyPart, required=False, label="Cartons, sleeves and labels used")

    def clean(self) -> dict[str, Any]:
        """New cases have bottles in them; opening alone makes none."""
        data = super().clean() or {}
        if self.errors:
            return data
        for name in ("cases", "per_case", "first_case"):
            data[name] = int(data[name] or 0)
        if data["kind"] in NO_CASE and data["cases"]:
            raise ValidationError({"cases": "That makes no new case. Choose what was made."})
        if data["kind"] not in NO_CASE and not (data["cases"] and data["per_case"]):
            raise ValidationError({"cases": "Give the new cases and the bottles in each."})
        return data


class Recase(Operation):
    """No bottle moves and no lot changes: the record tells which cases are no more, which new."""

    slug = "recase"
    title = "Open or recase cases"
    group = "Process and bottle"
    form = RecaseForm
    hazards = ("glass", "lifting")
    kinds = ("store",)
    accounts = ACCOUNTS
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """The numbers of the new cases, and the packing used."""
        rows, asked = [], list[Question]()
        for row in fields["rows"]:
            held = standing(look, row, fields["vessel"])
            bottles = count_in(row)
            asked += more_question(held, bottles)
            rows.append((f"lot {held.lot.code}", _opened(row, bottles)))
        rest = loose_after(fields)
        serials = serials_for(look.premises, fields)
        marks = str(replace(serials, remnant_bottles=0))
        made = (
            f"{fields['cases']:,} of {fields['per_case']:,} bottles" if fields["cases"] else "none"
        )
        result = (("new cases", made), ("case serials", marks or "none"), ("single", f"{rest:,}"))
        return Plan(
            supply_legs(look, fields["materials"], purpose="package"), document=marks[:60],
            lines=(f"{_opened_total(fields):,} bottles taken, {made} new, {rest:,} single.",),
            slips=(Slip("Cases", (*rows, *told(fields["materials"])), (), result),),
            questions=tuple({one.code: one for one in asked}.values()),
        )  # fmt: skip

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """The new case numbers, and the single bottles that a later case may take up."""
        serials = serials_for(entry.premises, fields)
        product = only_product(entry.premises, fields)
        if serials.first or product:
            loose = sum(row["bottles"] for row in fields["rows"])
            keep_serials(entry, serials, product=product, from_loose=loose if product else 0)


def _opened(row: dict[str, Any], bottles: int) -> str:
    marks = f", {row['case_serials']}" if row["case_serials"] else ""
    return f"{bottles:,} bottles{marks}"


def _opened_total(fields: Fields) -> int:
    return sum(count_in(row) for row in fields["rows"])


def loose_after(fields: Fields) -> int:
    """Bottles left single: none where they filled up cases, as for breakage (27 CFR 19.359).

    Raises BadFact when more were packed than taken.
    """
    taken, packed = _opened_total(fields), fields["cases"] * fields["per_case"]
    if packed > taken:
        raise BadFact(f"{packed:,} bottles were packed and {taken:,} taken.", field="cases")
    return 0 if fields["kind"] == "filled" else int(taken - packed)


def serials_for(premises: Premises, fields: Fields) -> Serials:
    """The numbers of the new cases (27 CFR 19.490)."""
    return next_serials(
        premises, fields["letters"].upper(), cases=fields["cases"],
        remnant_bottles=loose_after(fields), first_marked=fields["first_case"] or None,
    )  # fmt: skip


def only_product(premises: Premises, fields: Fields) -> Product | None:
    """The product of all the bottles, None where they are of several."""
    codes = {row["lot"].product for row in fields["rows"]}
    if len(codes) != 1:
        return None
    return Product.objects.filter(premises=premises, code=codes.pop()).first()
