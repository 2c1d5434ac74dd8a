"""What every record of a batch tells beside what goes together (27 CFR 19.598)."""

from typing import Any

from distillery.forms import CodeField, RecordForm, TextField, YesField
from distillery.formulas import (
    acts_of_mixing,
    formula_lines,
    formula_question,
    listed_question,
)
from distillery.kinds import band_field, class_of, distilled_at_field, family_field, type_field
from ledger.looking import Look
from ledger.plan import NewLot, Question


class BatchForm(RecordForm):
    """The formula, what the batch is, and its notes; a subclass puts its own fields first."""

    formula = TextField(max_length=40, label="Formula number")
    family = family_field(required=False, label="Kind, if several kinds come together")
    type_code = type_field()
    distilled_at = distilled_at_field()
    band = band_field()
    oak_chips = YesField(label="Treated with oak chips")
    caramel = YesField(label="Holds caramel")
    source_record = TextField(label="Serial of the source record, if it is not of this book")
    effective_rate = TextField(max_length=40, label="Effective tax rate, if one is used")
    name = TextField(max_length=80, label="Name of the batch")
    lot = CodeField(label="Batch number, empty for the next")


def batch_facts(fields: dict[str, Any]) -> dict[str, Any]:
    """The facts a batch takes from the form, as ``pour`` wants them; what is empty follows."""
    proof = fields["distilled_at"]
    return {
        "class_code": class_of(fields),
        "type_code": fields["type_code"],
        "name": fields["name"],
        "formula": fields["formula"],
        "distilled_at": None if proof is None else int(proof * 10),
    }


def notes_of(fields: dict[str, Any]) -> tuple[str, ...]:
    """Oak chips, caramel and the source record, for the slip of the batch."""
    notes = (
        ("Oak chips were used." if fields["oak_chips"] else ""),
        ("It holds caramel." if fields["caramel"] else ""),
        (f"Source record {fields['source_record']}." if fields["source_record"] else ""),
        (f"Formula {fields['formula']}." if fields["formula"] else ""),
        (f"Effective tax rate {fields['effective_rate']}." if fields["effective_rate"] else ""),
    )
    return tuple(note for note in notes if note)


def questions_of_formula(
    fields: dict[str, Any], parts: list[NewLot], becomes: NewLot, look: Look, *, acts: Any = ()
) -> tuple[Question, ...]:
    """What the formula of a batch is asked about: that of the form, else that of its parts."""
    number = fields["formula"] or becomes.formula
    return (
        *formula_question([*acts_of_mixing(parts, becomes), *acts], number),
        *listed_question(look.premises, number),
    )


def lines_of_formula(fields: dict[str, Any], becomes: NewLot, look: Look) -> tuple[str, ...]:
    """What the list tells of the formula of the batch."""
    return formula_lines(look.premises, fields["formula"] or becomes.formula)
