"""Classes of spirits as the monthly reports' columns divide them.

Source: the columns of TTB F 5110.40 (edition 10-2021); the class tells the distillation-proof
band where the form does. ``wine`` is the eleventh column of TTB F 5110.11.
"""

from dataclasses import dataclass
from decimal import Decimal

from ledger.errors import BadFact


@dataclass(frozen=True, slots=True)
class SpiritsClass:
    """One column: its code, the family a person names, and the words of the column."""

    code: str
    family: str
    title: str


CLASSES = {
    row.code: row
    for row in [
        SpiritsClass("whisky", "whisky", "Whisky, 160 proof and under"),
        SpiritsClass("whisky_over_160", "whisky", "Whisky, over 160 proof"),
        SpiritsClass("brandy", "brandy", "Brandy, 170 proof and under"),
        SpiritsClass("brandy_over_170", "brandy", "Brandy, over 170 proof"),
        SpiritsClass("rum", "rum", "Rum"),
        SpiritsClass("gin", "gin", "Gin"),
        SpiritsClass("vodka", "vodka", "Vodka"),
        SpiritsClass("spirits_under_190", "spirits", "Alcohol and spirits, under 190 proof"),
        SpiritsClass("spirits_190", "spirits", "Alcohol and spirits, 190 proof and over"),
        SpiritsClass("other", "other", "Other"),
        SpiritsClass("wine", "wine", "Wine"),
    ]
}
FAMILIES = ("whisky", "brandy", "rum", "gin", "vodka", "spirits", "other", "wine")
SOURCES = {
    "domestic": "domestic",
    "imported": "imported",
    "puerto_rican": "Puerto Rican",
    "virgin_islands": "Virgin Islands",
}


def class_for(family: str, distilled_at_proof: Decimal | int | None) -> str:
    """The class code of *family* spirits distilled at *distilled_at_proof* (degrees of proof).

    Whisky divides at 160, brandy at 170, alcohol and spirits at 190 (columns of F 5110.40).
    Raises BadFact when the family is unknown or a band needs a proof that is missing.
    """
    if family not in FAMILIES:
        raise BadFact(f"“{family}” is not a class of spirits; one of {', '.join(FAMILIES)}.")
    if family not in ("whisky", "brandy", "spirits"):
        return family
    if distilled_at_proof is None:
        raise BadFact(f"Give the distillation proof of this {family}: the report divides by it.")
    if family == "spirits":
        return "spirits_190" if distilled_at_proof >= 190 else "spirits_under_190"
    limit = 160 if family == "whisky" else 170
    return family if distilled_at_proof <= limit else f"{family}_over_{limit}"
