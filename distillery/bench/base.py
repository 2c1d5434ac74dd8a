"""The shape of a calculation: a form, and a pure work on what was filled in."""

from decimal import Decimal
from typing import Any, ClassVar

from django.core.exceptions import ValidationError

from distillery.forms import ChoiceField, QuantityField, RecordForm
from ledger.errors import BadFact
from ledger.gauging import half_up
from ledger.models import Premises
from ledger.plan import Slip

Fields = dict[str, Any]
STEPS = (("0.01", "0.01 PG"), ("0.1", "0.1 PG"))


class BenchForm(RecordForm):
    """A form without a moment, a note or a plant: what is worked here is not recorded."""

    at = None  # type: ignore[assignment]
    note = None  # type: ignore[assignment]

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, premises=Premises(), **options)


class StrengthForm(BenchForm):
    """Base of a gauge's form: the proof at 60 °F, or a hydrometer reading and its temperature."""

    proof = QuantityField("proof", required=False, label="Proof at 60 °F")
    reading = QuantityField("proof", required=False, label="or hydrometer reading")
    reading_temperature = QuantityField(
        "temperature", required=False, label="Temperature at the hydrometer"
    )
    obscuration = QuantityField("proof", required=False, label="Obscuration to add")

    def clean(self) -> Fields:
        """One way to the strength."""
        data = super().clean() or {}
        if self.errors:
            return data
        if (data["proof"] is None) == (data["reading"] is None):
            self.add_error("proof", "Give either the proof at 60 °F or a hydrometer reading.")
        elif data["reading"] is not None and data["reading_temperature"] is None:
            self.add_error("reading_temperature", "Give the temperature read, like 68 F.")
        return data


def strength_of(fields: Fields) -> Fields:
    """The strength in the words of the gauging functions."""
    return {
        "proof": fields["proof"],
        "reading": fields["reading"],
        "reading_temperature_f": fields["reading_temperature"],
        "obscuration": fields["obscuration"] or 0,
    }


def step_field(usual: str) -> ChoiceField:
    """What proof gallons are rounded to; *usual* when nothing is chosen."""
    return ChoiceField(
        choices=STEPS, required=False, initial=usual, label="Proof gallons rounded to",
        help_text=f"{usual} PG when nothing is chosen.",
    )  # fmt: skip


class Calculation:
    """One calculation. A subclass is one file; the registry finds it by its slug.

    ``work`` writes and reads nothing but *fields*. What cannot be is a GaugingError, or a
    BadFact whose ``field`` names the box it belongs to.
    """

    slug: ClassVar[str]
    title: ClassVar[str]
    group: ClassVar[str]
    form: ClassVar[type[BenchForm]]
    operation: ClassVar[str] = ""  # slug of the record that takes the result

    def work(self, fields: Fields) -> Slip:
        """How the result is found, from the cleaned *fields*."""
        raise NotImplementedError(self.slug)

    def carried(self, fields: Fields) -> dict[str, str]:
        """The boxes of the operation's form that the result fills in, by their names."""
        return {}


def tenth(fields: Fields, name: str) -> Decimal:
    """A proof to 0.1, as the tables are looked up (27 CFR 30.31(a)), above zero. BadFact."""
    proof = half_up(fields[name], "0.1")
    if proof <= 0:
        raise BadFact("Give a proof of 0.1 or more, such as 92.", field=name)
    return proof


def below(fields: Fields, *, name: str = "to_proof", start: str = "proof") -> tuple[Any, Any]:
    """(proof, wanted proof) of a reduction, each to 0.1. BadFact when it does not go down."""
    proof, wanted = tenth(fields, start), tenth(fields, name)
    if wanted >= proof:
        raise BadFact(f"Water brings {proof:f} proof down; give less than that.", field=name)
    return proof, wanted


def both_or_neither(form: BenchForm, first: str, second: str, sentence: str) -> None:
    """Add *sentence* beside the one of two boxes that was left empty."""
    data = form.cleaned_data
    if form.errors or (data[first] is None) == (data[second] is None):
        return
    form.add_error(first if data[first] is None else second, ValidationError(sentence))
