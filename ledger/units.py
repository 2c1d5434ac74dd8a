"""Quantities as people type and read them: `1000 L`, `265 gal`, `22.5 °C`, `43.5 % ABV`, `12 °P`.

Inside, each kind of quantity has one base unit (gallons, pounds, grams, degrees F, proof) as an
exact Decimal. Pint converts at the edges only; loading it takes a quarter of a second or more,
so the registry is made when the first conversion asks for it.
"""

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING

from ledger import brix
from ledger.gauging import half_up

if TYPE_CHECKING:
    from pint import UnitRegistry

LONGEST = 40
KEPT_DECIMALS = Decimal("0.00000001")
GROUPED = re.compile(r"[0-9]{1,3}(,[0-9]{3})+(\.[0-9]*)?")
UNGROUPED = re.compile(r"[0-9]+(\.[0-9]*)?|\.[0-9]+")
TYPED = re.compile(r"(?P<sign>[+-]?)\s*(?P<digits>[0-9.,]+)\s*(?P<unit>\D.*)?")

DEFINITIONS = (
    "wine_gallon = 231 * inch ** 3",  # 27 CFR 30.11
    "proof_gallon = [proof_spirits]",  # a measure of alcohol, not of space: 27 CFR 30.11
    "distillers_bushel = 56 * pound",  # any grain; common practice, no source
    "degree_of_proof = [alcohol_by_volume]",
    "percent_by_volume = 2 * degree_of_proof",  # 27 CFR 30.11 "Proof"
)


class UnitError(ValueError):
    """A typed quantity that cannot be read; the message is for the person who typed it."""


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity: base unit, an example to type, its limits, the words for units, and the
    units in which it may be below zero."""

    noun: str
    base: str
    example: str
    low: Decimal
    high: Decimal
    decimals: int
    words: dict[str, str]
    signed: tuple[str, ...] = ()


def _words(**units: str) -> dict[str, str]:
    """{typed word: unit of the registry} from unit="word word ..."."""
    return {word: unit for unit, typed in units.items() for word in typed.split()}


WEIGHTS = _words(
    pound="lb lbs pound pounds",
    ounce="oz ounce ounces",
    gram="g gram grams",
    kilogram="kg kilo kilos kilogram kilograms",
    ton="ton tons",
    # A bare "bushel" is refused: by market custom one of malt is 34 lb, a distiller's is 56.
    distillers_bushel="distiller'sbushel distiller'sbushels distillersbushel distillersbushels",
)
KINDS = {
    "volume": Kind(
        "volume", "gal", "265 gal", Decimal(0), Decimal(10**7), 2,
        _words(
            wine_gallon="gal gals gallon gallons wg winegallon winegallons",
            liter="l liter liters litre litres",
            milliliter="ml milliliter milliliters",
            hectoliter="hl hectoliter hectoliters",
            quart="qt qts quart quarts",
            pint="pt pint pints",
            fluid_ounce="floz",
        ),
    ),
    "proof_gallons": Kind(
        "quantity of proof gallons", "PG", "52.3 PG", Decimal(0), Decimal(10**7), 2,
        _words(proof_gallon="pg proofgallon proofgallons proofgal"),
    ),
    "weight": Kind("weight", "lb", "240 lb", Decimal(0), Decimal(10**8), 2, WEIGHTS),
    "small_weight": Kind("weight", "g", "2 oz", Decimal(0), Decimal(10**8), 2, WEIGHTS),
    "temperature": Kind(
        "temperature", "F", "72 F or 22.5 C", Decimal(-100), Decimal(700), 1,
        _words(
            degree_Fahrenheit="f °f degf degreesf fahrenheit",
            degree_Celsius="c °c degc degreesc celsius",
        ),
        signed=("F", "C"),
    ),
    "proof": Kind(
        "strength", "proof", "118.4 proof or 43.5 % ABV", Decimal(0), Decimal(200), 1,
        _words(
            degree_of_proof="proof",
            percent_by_volume="% %abv abv %vol %alc/vol %alc.byvol alc/vol",
        ),
    ),
    # Of a wash: a hydrometer of any scale. A gauge of liquor takes the specific gravity alone.
    "gravity": Kind(
        "gravity", "SG", "1.065 or 16 Bx", Decimal("0.7"), Decimal(2), 4,
        _words(
            SG="sg",
            Bx="bx °bx brix °brix degbrix degreesbrix",
            P="p °p plato °plato degplato degreesplato",
        ),
        signed=("Bx", "P"),
    ),
    "specific_gravity": Kind(
        "specific gravity", "SG", "1.065", Decimal("0.7"), Decimal(2), 4, _words(SG="sg")
    ),
    "percent": Kind("percentage", "%", "5.5 %", Decimal(0), Decimal(100), 2, {"%": "%"}),
    "count": Kind(
        "count", "", "12", Decimal(0), Decimal(10**7), 0,
        _words(piece="bottle bottles case cases barrel barrels package packages drum drums"),
    ),
    "time": Kind(
        "length of time", "min", "90 min or 1.5 h", Decimal(0), Decimal(10**7), 0,
        _words(minute="min mins minute minutes", hour="h hr hrs hour hours", day="day days"),
    ),
}  # fmt: skip
SCALES = {"Bx": "Brix", "P": "Plato"}  # of gravity: no multiple of one another, and below zero too


@cache
def registry() -> "UnitRegistry":
    """The one Pint registry, in Decimals."""
    from pint import UnitRegistry

    units: UnitRegistry = UnitRegistry(non_int_type=Decimal)
    for definition in DEFINITIONS:
        units.define(definition)
    return units


def parse(text: object, kind: str, default_unit: str | None = None) -> Decimal:
    """What a person typed, in the base unit of its kind (a name in KINDS), not rounded to print.

    A bare number is in `default_unit` (or the base unit). Conversions keep eight decimals;
    1 gal = 231 cubic inches, 1 lb = 0.45359237 kg exactly. Raises UnitError.
    """
    rules = KINDS[kind]
    number, word = _split(_clean(text, rules), rules)
    unit = _unit(word or default_unit or rules.base, rules)
    _check(number, unit, rules, text=_brief(text), is_bare=not word)
    value = _convert(number, unit, _base(rules))
    if not rules.low <= value <= rules.high:
        raise UnitError(
            f"A {rules.noun} goes from {rules.low} to {rules.high:,} {rules.base}".rstrip()
            + f"; {_brief(text)} is outside. Example: {rules.example}."
        )
    if kind == "count" and value != value.to_integral_value():
        raise UnitError(f"A count is a whole number, such as {rules.example}.")
    return value


def show(value: int | str | Decimal, kind: str, unit: str | None = None) -> str:
    """A base-unit value as text in `unit` ("gal", "L", "lb", "kg", "F", "C", "Bx"), half up.

    A gravity outside the Brix scale is shown as specific gravity.
    """
    rules = KINDS[kind]
    chosen = rules.base if unit is None else unit
    if chosen in SCALES and not brix.is_on_the_scale(Decimal(value)):
        chosen = rules.base
    shown = _convert(Decimal(value), _base(rules), _unit(chosen, rules))
    decimals = 1 if chosen in SCALES else rules.decimals
    rounded = half_up(shown, Decimal(1).scaleb(-decimals))
    degree = "°" if kind == "temperature" or chosen in SCALES else ""
    return f"{rounded:,f} {degree}{chosen}".rstrip()


def _clean(text: object, rules: Kind) -> str:
    """The typed text without surprises: no hidden characters, no absurd length."""
    typed = str("" if text is None else text).strip()
    if not typed:
        raise UnitError(f"Type a {rules.noun}, such as {rules.example}.")
    if len(typed) > LONGEST:
        raise UnitError(f"That is too long for a {rules.noun}; type it as {rules.example}.")
    if any(unicodedata.category(character)[0] == "C" for character in typed):
        raise UnitError(f"Hidden characters stand in the {rules.noun}; type it as {rules.example}.")
    return typed.translate({0x2212: "-", 0xBA: "°", 0xA0: " ", 0x202F: " "})


def _split(typed: str, rules: Kind) -> tuple[Decimal, str]:
    """(number, unit word) of a typed quantity."""
    found = TYPED.fullmatch(typed)
    if not found:
        raise UnitError(f"{_brief(typed)} is not a {rules.noun}; type it as {rules.example}.")
    digits = found["digits"]
    if "," in digits and not GROUPED.fullmatch(digits):
        raise UnitError(
            f"{_brief(typed)}: a comma only parts thousands, as in 1,250.5; "
            f"write decimals with a point, such as {rules.example}."
        )
    if "," not in digits and not UNGROUPED.fullmatch(digits):
        raise UnitError(f"{_brief(typed)} is not one number; type it as {rules.example}.")
    return Decimal(found["sign"] + digits.replace(",", "")), found["unit"] or ""


def _check(number: Decimal, unit: str, rules: Kind, *, text: str, is_bare: bool) -> None:
    """Raises UnitError for a number that its unit cannot have."""
    if unit in SCALES:
        if not brix.LOWEST <= number <= brix.HIGHEST:
            raise UnitError(
                f"{SCALES[unit]} is read from {brix.LOWEST} to {brix.HIGHEST}; {text} is outside. "
                f"Example: {rules.example}."
            )
        decimals = len(f"{number:f}".partition(".")[2])
        if decimals > 2 and brix.NEAR_ONE[0] < number < brix.NEAR_ONE[1]:
            raise UnitError(
                f"{SCALES[unit]} is read to a tenth. If {number:f} is the specific gravity, type "
                f"{number:f} SG. Example: {rules.example}."
            )
    elif number < 0 <= rules.low:
        raise UnitError(f"A {rules.noun} cannot be below zero. Example: {rules.example}.")
    elif is_bare and "Bx" in rules.words.values() and not rules.low <= number <= rules.high:
        raise UnitError(_which_scale(number, rules, text))


def _which_scale(number: Decimal, rules: Kind, text: str) -> str:
    """A gravity without a unit that no specific gravity is: 1032 or 12. Never guessed at."""
    if number == number.to_integral_value() and 700 <= number < 2000:
        meant = f"{number / 1000:.3f}"
        return (
            f"{text} has no point. If the specific gravity is {meant}, type {meant}. "
            f"Example: {rules.example}."
        )
    return (
        f"{text} is no specific gravity. Type its scale behind it, such as 12 Bx or 12 P. "
        f"Example: {rules.example}."
    )


def _unit(word: str, rules: Kind) -> str:
    """The registry's unit for a typed word, or the sentence that says what belongs here."""
    key = re.sub(r"\s", "", word).lower().rstrip(".")
    if key in rules.words or not key:
        return rules.words.get(key, "piece")
    other = next((kind.noun for kind in KINDS.values() if key in kind.words), None)
    if other:
        raise UnitError(
            f"{_brief(word)} is for a {other}; "
            f"here a {rules.noun} belongs, such as {rules.example}."
        )
    raise UnitError(f"{_brief(word)} is not a unit of {rules.noun}; type it as {rules.example}.")


def _base(rules: Kind) -> str:
    return _unit(rules.base, rules)


def _convert(number: Decimal, unit: str, target: str) -> Decimal:
    if unit == target:
        return number
    if unit in SCALES:
        return brix.gravity_of(number)
    if target in SCALES:
        return brix.degrees_of(number)
    quantity = registry().Quantity(number, unit).to(target)
    kept = half_up(quantity.magnitude, KEPT_DECIMALS).normalize()
    return kept.quantize(Decimal(1)) if kept == kept.to_integral_value() else kept


def _brief(text: object) -> str:
    typed = str(text)
    return typed if len(typed) <= LONGEST else typed[:LONGEST] + "..."
