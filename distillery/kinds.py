"""Saying what kind spirits are: family, type, and the proof or band they were distilled at."""

from typing import Any

from distillery.forms import ChoiceField, QuantityField, TextField
from ledger.classes import FAMILIES, class_for
from ledger.errors import BadFact

SPIRITS_FAMILIES = [(family, family) for family in FAMILIES if family != "wine"]
BANDS = [
    ("", "by the distillation proof"),
    ("low", "whisky to 160, brandy to 170, spirits under 190"),
    ("high", "above that"),
]
# A proof inside each band of every family that TTB F 5110.40 divides.
BAND_PROOF = {"low": 100, "high": 190}


def family_field(*, required: bool = True, label: str = "Kind") -> ChoiceField:
    """The family; empty is allowed where the kind can follow from what is poured together."""
    first = [] if required else [("", "as before")]
    return ChoiceField(choices=first + SPIRITS_FAMILIES, required=required, label=label)


def type_field() -> TextField:
    """The type within the family, like bourbon."""
    return TextField(max_length=40, label="Type, like bourbon")


def distilled_at_field() -> QuantityField:
    """The distillation proof."""
    return QuantityField("proof", required=False, label="Distillation proof")


def band_field() -> ChoiceField:
    """The band, where the papers do not tell the proof."""
    return ChoiceField(choices=BANDS, required=False, label="Distilled, if the proof is not known")


def class_of(data: dict[str, Any]) -> str:
    """The class code of cleaned ``family``, ``distilled_at`` and ``band``; "" without a family.

    Raises BadFact naming the field when the report divides the family and neither is given.
    """
    if not data.get("family"):
        return ""
    proof = data.get("distilled_at")
    if proof is None and data.get("band"):
        proof = BAND_PROOF[data["band"]]
    try:
        return class_for(data["family"], proof)
    except BadFact as error:
        raise BadFact(str(error), field="distilled_at") from error
