"""Dissolved solids: what they ask of a gauge, and how far they hide the proof.

Sugar, caramel and barrel extract make liquor heavier, so a hydrometer reads low. The gallons in
a pound follow the apparent proof, the proof gallons follow the true one (27 CFR 30.62, 30.64).
"""

from decimal import Decimal
from enum import StrEnum

from .figures import GaugingError, Number, amount, between, half_up

RESIDUE_SAMPLE_ML = 25
MUST_ADD_ABOVE_MG, MUST_DISTIL_ABOVE_MG = 400, 600
PROOF_PER_GRAM = 4  # 0.1 gram in 100 mL hides 0.4 degree of proof, 27 CFR 30.32(b)


class SolidsRule(StrEnum):
    """What 27 CFR 30.31 asks for by milligrams of solids in 100 mL at gauge proof."""

    OPTIONAL = "The obscuration may be added."
    REQUIRED = "The obscuration must be added."
    DISTIL = "The true proof is that of the restored distillate."


def solids_rule(mg_per_100_ml: Number) -> SolidsRule:
    """The SolidsRule for an amount of solids: 400 or less, to 600, above (27 CFR 30.31, 30.71)."""
    solids = amount(mg_per_100_ml, name="amount of solids", unit="mg")
    if solids > MUST_DISTIL_ABOVE_MG:
        return SolidsRule.DISTIL
    return SolidsRule.REQUIRED if solids > MUST_ADD_ABOVE_MG else SolidsRule.OPTIONAL


def obscuration(residue_g: Number, *, apparent_proof: Number) -> Decimal:
    """Degrees of proof [0.1] hidden by solids, by the evaporation method of 27 CFR 30.32(b).

    `residue_g` is the dry residue [g] of 25 mL; the method holds for 80 to 100 proof only.
    obscuration("0.125", apparent_proof=90) is 2.0. True proof = apparent proof + obscuration.
    Raises GaugingError where the proof is outside or the solids ask for distillation.
    """
    residue = amount(residue_g, name="residue", unit="g")
    between(apparent_proof, 80, 100, name="apparent proof for the evaporation method")
    grams_per_100_ml = residue * (Decimal(100) / RESIDUE_SAMPLE_ML)
    if solids_rule(grams_per_100_ml * 1000) is SolidsRule.DISTIL:
        raise GaugingError(
            f"Solids of {grams_per_100_ml * 1000:.4g} mg in 100 mL are above 600: distil a sample, "
            "restore it with water and gauge that (27 CFR 30.31(c))."
        )
    return half_up(grams_per_100_ml * PROOF_PER_GRAM, "0.1")
