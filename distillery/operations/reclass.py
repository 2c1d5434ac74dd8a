"""Mend the wrong kind of a lot by a new lot, where it stands now (27 CFR 19.305, 19.581(b))."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.forms import (
    ChoiceField,
    CodeField,
    LotField,
    RecordForm,
    TextField,
    VesselField,
)
from distillery.kinds import band_field, class_of, distilled_at_field, family_field, type_field
from distillery.models import Material
from distillery.operations.base import Fields, Operation
from distillery.plans import lot_like, move, pg, tenths
from distillery.pouring import facts_of
from ledger.accounts import ACCOUNTS
from ledger.classes import CLASSES, SOURCES
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Lot
from ledger.plan import NewLot, Place, Plan

WHERE = ("storage", "processing", "finished")
TELLS = ("type_code", "source", "material", "producer", "state", "formula", "name")
RATES = [("", "as before"), ("yes", "yes"), ("no", "no")]
WORDS = {
    "class_code": "class", "type_code": "type", "distilled_at": "distillation proof",
    "reduced_rate": "reduced rate",
}  # fmt: skip


class ReclassForm(RecordForm):
    """Which lot, and what it really is; what is left empty stays as it was."""

    lot = LotField(required=False, label="Lot, wherever it stands")
    vessel = VesselField(required=False, label="or only what stands in")
    family = family_field(required=False, label="Kind")
    type_code = type_field()
    distilled_at = distilled_at_field()
    band = band_field()
    source = ChoiceField(
        choices=[("", "as before"), *SOURCES.items()], required=False, label="Source"
    )
    material = ChoiceField(
        choices=[("", "as before"), *Material.Kind.choices], required=False, label="Made from"
    )
    producer = TextField(max_length=120, label="Producer and plant number")
    state = TextField(max_length=40, label="State where produced")
    formula = TextField(max_length=40, label="Formula number")
    reduced_rate = ChoiceField(
        choices=RATES, required=False, label="May be taxed at the reduced rates"
    )
    name = TextField(max_length=80, label="Name of the lot")
    code = CodeField(label="Code of the new lot, empty for the old one with a number")

    def clean(self) -> dict[str, Any]:
        """A lot or a vessel."""
        data = super().clean() or {}
        if not self.errors and not (data["lot"] or data["vessel"]):
            raise ValidationError({"lot": "Name the lot, or the vessel it stands in."})
        return data


class Reclass(Operation):
    """All of a lot to a new lot in the same place; the old one keeps its facts for good."""

    slug = "reclass"
    title = "Mend the kind of a lot"
    group = "Count and correct"
    form = ReclassForm
    accounts = WHERE
    kinds = ("tank", "tote", "barrel", "bottling_tank")
    vessel_field = "vessel"
    needs_reason = True

    def plan(self, fields: Fields, look: Look) -> Plan:
        """One movement a vessel, inside its account, from the old lot to the new."""
        found = _helds(fields, look)
        old = found[0].lot
        new = _lot(fields, old)
        before = facts_of(old)
        changed = _changed(before, new)
        if not changed:
            raise BadFact(
                f"That is what lot {old.code} is already. Give what it really is.", field="family"
            )
        _check_wine(found, before, new)
        legs = tuple(move(held, Place(held.account, new.code, held.vessel.code), "reclass")
                     for held in found)  # fmt: skip
        return Plan(legs, (new,), lines=(*changed, *consequences(found, before, new)))


def _helds(fields: Fields, look: Look) -> list[Held]:
    """Where the lot stands in bond; of one vessel only, when that is named."""
    lot, vessel = fields["lot"], fields["vessel"]
    found = look.of_lot(lot.code, *WHERE) if lot else look.in_account(vessel.code, *WHERE)
    if lot and vessel:
        found = [held for held in found if held.vessel.code == vessel.code]
    if not found:
        raise BadFact(
            "The book has nothing of it in storage, processing or finished goods at that moment.",
            field="lot" if lot else "vessel",
        )
    if len({held.lot.code for held in found}) > 1:
        codes = ", ".join(held.lot.code for held in found)
        raise BadFact(f"{vessel.code} holds several lots ({codes}). Name the lot.", field="lot")
    return found


def _lot(fields: Fields, old: Lot) -> NewLot:
    """The new lot: what was told, the rest as before."""
    told: dict[str, Any] = {name: fields[name] for name in TELLS if fields[name]}
    if fields["family"]:
        told["class_code"] = class_of(_with_proof(fields, old))
    if fields["distilled_at"] is not None:
        told["distilled_at"] = tenths(fields["distilled_at"])
    if fields["reduced_rate"]:
        told["reduced_rate"] = fields["reduced_rate"] == "yes"
    return lot_like(old, fields["code"] or f"{old.code}-{{n}}", **told)


def _with_proof(fields: Fields, old: Lot) -> Fields:
    """*fields* with the lot's own distillation proof where none is told."""
    if fields["distilled_at"] is not None or fields["band"] or old.distilled_at is None:
        return fields
    return {**fields, "distilled_at": old.distilled_at / 10}


def _changed(old: NewLot, new: NewLot) -> tuple[str, ...]:
    """Each fact that changes, as ``Class: Vodka, now Gin.``"""
    lines = []
    for name in (*TELLS, *WORDS):
        before, after = getattr(old, name), getattr(new, name)
        line = f"{WORDS.get(name, name).capitalize()}: {_word(name, before)}, now "
        if before != after and (told := f"{line}{_word(name, after)}.") not in lines:
            lines.append(told)
    return tuple(lines)


def _word(name: str, value: Any) -> str:
    if name == "class_code" and value:
        return CLASSES[value].title
    if name == "source":
        return SOURCES[value]
    if name == "distilled_at" and value is not None:
        return f"{value / 10:.1f}"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value) if value else "not told"


def _check_wine(found: list[Held], old: NewLot, new: NewLot) -> None:
    """In processing wine and spirits have columns of their own and no line between them."""
    is_processing = any(held.account == "processing" for held in found)
    if is_processing and (old.class_code == "wine") != (new.class_code == "wine"):
        raise BadFact(
            "TTB F 5110.28 has no line that turns wine into spirits. Take the receipt back and "
            "record it rightly.",
            field="family",
        )


def consequences(found: list[Held], old: NewLot, new: NewLot) -> tuple[str, ...]:
    """What the change does to each form, in words."""
    lines = []
    for account in dict.fromkeys(held.account for held in found):
        proof = pg(sum(held.proof_gallons for held in found if held.account == account))
        lines.append(f"{proof} in {ACCOUNTS[account].title}: {_on_form(account, old, new)}")
    if old.reduced_rate != new.reduced_rate:
        lines.append("Tax of what leaves from now on is at the other rate; paid tax stays.")
    return tuple(lines)


def _on_form(account: str, old: NewLot, new: NewLot) -> str:
    columns = ("class_code", "source")
    moves = any(getattr(old, name) != getattr(new, name) for name in columns)
    if account == "storage" and moves:
        return (
            "TTB F 5110.11 takes it out on line 21 under the old kind and source and in on line "
            "5 under the new, explained. TTB F 5110.40 of the month it was produced stays: amend "
            "it if that was wrong too."
        )
    if account == "storage":
        return "no column of TTB F 5110.11 changes."
    if account == "processing":
        return (
            "no line of TTB F 5110.28 part I changes; part IV keeps it under the old kind in the "
            "month it was dumped, and bottles filled from now on count under the new."
        )
    return (
        "no line of TTB F 5110.28 part II changes; part IV keeps what was bottled under the old "
        "kind in its month."
    )
