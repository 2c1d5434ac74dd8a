"""How the strength of a gauge was found: by a known proof or by hydrometer, with solids or not."""

from dataclasses import dataclass
from decimal import Decimal

from .figures import GaugingError, Number, amount, between, half_up, plain, proof_figure
from .table1 import look_up


@dataclass(frozen=True, slots=True)
class Strength:
    """Proof at 60 F: `apparent` (what a hydrometer shows) and `true` (what is taxed), each 0.1."""

    apparent: Decimal
    true: Decimal
    readings: tuple[tuple[str, str], ...]
    steps: tuple[str, ...]

    @property
    def is_obscured(self) -> bool:
        return self.apparent != self.true


def find_strength(
    *,
    proof: Number | None,
    reading: Number | None,
    reading_temperature_f: Number | None,
    obscuration: Number,
) -> Strength:
    """The Strength from either a true `proof` at 60 F or a `reading` with its temperature.

    `obscuration` [degrees of proof] is added to what a hydrometer found, and taken from a
    given true proof to learn the apparent one. Raises GaugingError for both or neither.
    """
    hidden = half_up(between(obscuration, 0, 100, name="obscuration"), "0.1")
    if proof is not None and reading is None:
        return _from_proof(half_up(proof_figure(proof), "0.1"), hidden)
    if proof is not None or reading is None:
        raise GaugingError("Give either the proof at 60 F or a hydrometer reading, one of the two.")
    if reading_temperature_f is None:
        raise GaugingError("A hydrometer reading needs the temperature at which it was read.")
    return _from_reading(reading, reading_temperature_f, hidden)


def _from_proof(true: Decimal, hidden: Decimal) -> Strength:
    apparent = amount(true - hidden, name="proof less obscuration", unit="proof")
    readings = (("Proof at 60 F", plain(true)),)
    if not hidden:
        return Strength(apparent, true, readings, ())
    step = f"Obscuration: {true} proof - {hidden} = {apparent} apparent proof"
    return Strength(apparent, true, (*readings, ("Obscuration", plain(hidden))), (step,))


def _from_reading(reading: Number, fahrenheit: Number, hidden: Decimal) -> Strength:
    cell = look_up(reading, fahrenheit)
    apparent = cell.figure
    true = proof_figure(apparent + hidden, name="true proof")
    mark, warmth = plain(reading), plain(fahrenheit)
    readings = (("Hydrometer reading", mark), ("Reading temperature", f"{warmth} F"))
    steps = (f"Table 1: {mark} at {warmth} F is {apparent} proof ({cell.edition})",)
    if not hidden:
        return Strength(apparent, true, readings, steps)
    step = f"Obscuration: {apparent} apparent proof + {hidden} = {true} proof"
    return Strength(apparent, true, (*readings, ("Obscuration", plain(hidden))), (*steps, step))
