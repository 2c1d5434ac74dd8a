"""How strong it was: told, read, by density, carried from the book, with solids or not."""

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from typing import Any, NamedTuple

from distillery.forms.gauge_quantity import OFF_THE_TABLES, Corrected, is_off_the_tables
from distillery.instruments import plain
from ledger import gauging
from ledger.errors import LedgerError
from ledger.gauging import GaugingError, SolidsRule, half_up
from ledger.gauging.strength import celsius, fraction_at, proof_from_fraction
from ledger.looking import Look
from ledger.models import Vessel

WAYS = ("proof", "reading", "density", "gravity")
GIVE_ONE = "Give either the proof at 60 °F or a hydrometer reading."
DENSITY_AT = [("60 F", "60 °F"), ("20 C", "20 °C")]
NOT_CARRIED = {
    "tax": "A gauge for tax finds its own proof (27 CFR 19.226, 19.285). Read the hydrometer.",
    "bottling": "The gauge of a bottling tank finds its own proof (27 CFR 19.353, 19.285). Read "
    "the hydrometer.",
    "package": "The proof changes in wood, so none is carried (27 CFR 19.285). Read the "
    "hydrometer.",
}


class Strength(NamedTuple):
    """What gauging is told of the strength, as its keyword arguments, and the steps before."""

    arguments: dict[str, Any]
    readings: tuple[tuple[str, str], ...] = ()
    steps: tuple[str, ...] = ()


def way_of(data: dict[str, Any]) -> str:
    """The one way filled in; "" for none or several."""
    given = [name for name in WAYS if data.get(name) is not None]
    given += ["carried"] if data.get("carried") else []
    return given[0] if len(given) == 1 else ""


def wrong_strength(
    data: dict[str, Any], way: str, vessel: Any, purpose: str
) -> Iterator[tuple[str, str]]:
    """(field, sentence) of each thing that *way* lacks or the law does not allow."""
    if way == "reading" and data["reading_temperature"] is None and data["temperature"] is None:
        yield "reading_temperature", "Give the temperature read, like 68 F."
    if is_off_the_tables(data["reading_temperature"]):
        yield "reading_temperature", OFF_THE_TABLES
    if way == "density" and not data["density_at"]:
        yield "density_at", "Say at which temperature the density stands, 60 °F or 20 °C."
    if way == "carried":
        is_in_wood = vessel is not None and vessel.kind == Vessel.Kind.BARREL
        law = NOT_CARRIED.get("package" if is_in_wood else purpose)
        if law:
            yield "carried", law
        elif vessel is None:
            yield "tank", "Name the tank whose proof is carried."
    if way == "gravity" and data["gross"] is None and data["net"] is None:
        yield "gravity", "Liquor heavier than water is gauged by weight (27 CFR 30.41(b))."
    if way == "gravity" and data["restored"] is None:
        yield "restored", "Give the true proof, of the restored distillate (27 CFR 30.31(c))."
    yield from _wrong_solids(data, way)


def _wrong_solids(data: dict[str, Any], way: str) -> Iterator[tuple[str, str]]:
    solids, hidden, restored = data["solids"], data["obscuration"], data["restored"]
    if restored is not None and hidden is not None:
        yield "obscuration", "The restored distillate tells the obscuration. Leave this empty."
    if restored is not None and way not in ("reading", "density", "gravity"):
        yield "reading", "Read the spirits as they are too: wine gallons follow that proof."
    if solids is None or way in ("carried", "gravity"):
        return
    rule = gauging.solids_rule(solids)
    told = f"Solids of {plain(solids)} mg in 100 mL"
    if rule is SolidsRule.DISTIL and restored is None:
        distil = "distil a sample, restore it with water and give its proof"
        yield "restored", f"{told} are above 600: {distil} (27 CFR 30.31(c))."
    if rule is SolidsRule.REQUIRED and hidden is None and restored is None:
        add = "give the obscuration, which must be added"
        yield "obscuration", f"{told} are above 400: {add} (27 CFR 30.31(b))."


def strength_of(
    data: dict[str, Any], way: str, *, vessel: Any, moment: datetime, corrected: Corrected
) -> Strength:
    """The strength as read, corrected and cleared of solids. Raises GaugingError."""
    hidden = data["obscuration"] or Decimal(0)
    if way == "reading":
        return _by_hydrometer(data, hidden, corrected)
    if way == "density":
        return _by_density(data, hidden, corrected)
    if way == "carried":
        return _carried(vessel, moment)
    return Strength({"proof": data["proof"], "obscuration": hidden})


def _by_hydrometer(data: dict[str, Any], hidden: Decimal, corrected: Corrected) -> Strength:
    warmth = data["reading_temperature"]
    warmth = data["temperature"] if warmth is None else warmth
    reading = corrected.value(data["hydrometer"], data["reading"])
    warmth = corrected.value(data["thermometer"], warmth)
    arguments = {"reading": reading, "reading_temperature_f": warmth, "obscuration": hidden}
    if data["restored"] is None:
        return Strength(arguments)
    apparent = half_up(gauging.true_proof(reading, warmth), "0.1")
    hidden, step = _restored(data["restored"], apparent)
    return Strength({**arguments, "obscuration": hidden}, (), (step,))


def _by_density(data: dict[str, Any], hidden: Decimal, corrected: Corrected) -> Strength:
    density, at = corrected.value(data["density_meter"], data["density"] / 1000), data["density_at"]
    density *= 1000
    shown = f"{plain(density)} kg/m3 at {dict(DENSITY_AT)[at]}"
    warmth = celsius(60) if at == "60 F" else 20.0
    proof = proof_from_fraction(fraction_at(float(density), warmth))
    if not -0.05 < proof < 200.05:
        raise GaugingError(f"No spirits weigh {shown}: read again.")
    apparent = half_up(repr(min(max(proof, 0.0), 200.0)), "0.1")
    steps = [f"Density: {shown} is {apparent} proof by the formula of OIML R 22"]
    if data["restored"] is not None:
        hidden, step = _restored(data["restored"], apparent)
        steps.append(step)
    arguments = {"proof": apparent + hidden, "obscuration": hidden}
    return Strength(arguments, (("Density", shown),), tuple(steps))


def _restored(proof: Decimal, apparent: Decimal) -> tuple[Decimal, str]:
    """(obscuration, step): restored distillate less apparent proof (27 CFR 30.32(c))."""
    restored = half_up(proof, "0.1")
    hidden = restored - apparent
    if hidden < 0:
        raise GaugingError(
            f"The restored distillate, {restored} proof, is weaker than the {apparent} that was "
            "read. Distil again."
        )
    return hidden, f"Obscuration: restored distillate {restored} - {apparent} apparent = {hidden}"


def _carried(vessel: Vessel, moment: datetime) -> Strength:
    """The strength the book has for what *vessel* holds, 27 CFR 19.285 and 30.31(d)."""
    look = Look.now(vessel.premises, moment)
    try:
        strengths = [h.proof_tenths for h in look(vessel.code) if h.proof_gallons > 0]
    except LedgerError as error:
        raise GaugingError(str(error)) from error
    if len(strengths) != 1 or strengths[0] is None:
        raise GaugingError(
            f"The book has no one proof to carry for {vessel.code} (27 CFR 19.285). Read the "
            "hydrometer."
        )
    proof = Decimal(strengths[0]) / 10
    step = f"Carried: {proof} proof, as the book has it in {vessel.code} (27 CFR 19.285)"
    return Strength({"proof": proof}, (), (step,))
