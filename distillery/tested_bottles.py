"""Bottles tested at the line: the rows of a form, and what they show at 60 °F."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import fmean, stdev
from typing import Any

from distillery.fill_tests import (
    ML_PER_GAL,
    PROOF_ALLOWED,
    Target,
    allowed_pct,
    band,
    fill_of_grams,
    fill_of_volume,
    is_fill_within,
    is_proof_within,
    of_full,
    shown_ml,
    targets,
)
from distillery.models import BottleCheck, FoundFill
from ledger import gauging
from ledger.errors import BadFact
from ledger.gauging import GaugingError, half_up
from ledger.plan import Slip

TANKS = ("bottling_tank", "tank")
SIXTY = Decimal(60)


@dataclass(frozen=True, slots=True)
class Bottle:
    """One bottle tested: milliliters at 60 °F and the readings behind them."""

    fill_ml: Decimal
    read_ml: Decimal | None = None
    temperature_f: Decimal | None = None
    gross_g: Decimal | None = None
    tare_g: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Tested:
    """What a test found: bottles of *bottle_ml* at *label_proof*, and the strength found."""

    bottle_ml: int
    label_proof: Decimal
    found_proof: Decimal | None
    temperature_f: Decimal
    bottles: tuple[Bottle, ...]

    @property
    def fills(self) -> list[Decimal]:
        """Milliliters at 60 °F, bottle by bottle."""
        return [one.fill_ml for one in self.bottles]

    @property
    def outside(self) -> int:
        """How many fills lie outside the band of 27 CFR 19.356(b)."""
        return sum(not is_fill_within(fill, self.bottle_ml) for fill in self.fills)

    @property
    def is_proof_off(self) -> bool:
        """Whether the alcohol found is outside 27 CFR 19.356(c)."""
        found = self.found_proof
        return found is not None and not is_proof_within(found, self.label_proof)

    @property
    def is_within(self) -> bool:
        """Whether all of it is within tolerance."""
        return not self.outside and not self.is_proof_off


def found_proof(fields: dict[str, Any]) -> Decimal | None:
    """The strength found, degrees at 60 °F to 0.01; None when only fills were tested."""
    if fields["proof"] is not None:
        return half_up(fields["proof"], "0.01")
    if fields["reading"] is None:
        return None
    try:
        return gauging.true_proof(fields["reading"], fields["reading_temperature"])
    except GaugingError as error:
        raise BadFact(str(error), field="reading") from error


def tested(fields: dict[str, Any], *, bottle_ml: int, label_proof: Decimal, tare: Any) -> Tested:
    """The cleaned *fields* as found; *tare* [g] is the product's, where none was weighed.

    Fills follow from the strength found, else from the label. Raises BadFact.
    """
    found = found_proof(fields)
    warmth = SIXTY if fields["temperature"] is None else fields["temperature"]
    strength = label_proof if found is None else found
    usual = fields["tare"] if fields["tare"] is not None else tare
    try:
        bottles = tuple(_bottle(row, strength, warmth, usual) for row in fields["fills"])
    except GaugingError as error:
        raise BadFact(str(error), field="temperature") from error
    return Tested(bottle_ml, label_proof, found, warmth, bottles)


def _bottle(row: dict[str, Any], proof: Decimal, warmth: Decimal, usual: Any) -> Bottle:
    if row["volume"] is not None:
        read = half_up(row["volume"] * ML_PER_GAL, "0.01")
        return Bottle(fill_of_volume(read, proof, warmth), read_ml=read, temperature_f=warmth)
    tare = row["tare"] if row["tare"] is not None else usual
    if tare is None:
        raise BadFact("Give the weight of the empty bottle.", field="tare")
    net = row["gross"] - tare
    if net <= 0:
        raise BadFact("The empty bottle weighs more than the filled one.", field="tare")
    gross, tare = half_up(row["gross"], "0.01"), half_up(Decimal(tare), "0.01")
    return Bottle(fill_of_grams(net, proof), gross_g=gross, tare_g=tare)


def slip_of(found: Tested) -> Slip:
    """Each fill, its per cent of full, and the mean and spread (27 CFR 19.600)."""
    size = found.bottle_ml
    readings = [
        (f"bottle {number}", _told(one, size)) for number, one in enumerate(found.bottles, 1)
    ]
    least, most = band(size)
    steps = []
    result = []
    if found.bottles:
        steps.append(
            f"{size} mL may differ {allowed_pct(size)} % either way: {least:.2f} to {most:.2f} mL "
            "at 60 °F (27 CFR 19.356(b))."
        )
        mean = mean_ml(found.fills)
        result.append(("mean", f"{mean} mL, {of_full(mean, size)} %"))
        if len(found.fills) > 1:
            result.append(("spread", f"{spread_ml(found.fills)} mL"))
    if found.found_proof is not None:
        label = found.label_proof
        steps.append(
            f"The label says {label:f} proof; {label - PROOF_ALLOWED:f} to "
            f"{label + PROOF_ALLOWED:f} are within (27 CFR 19.356(c))."
        )
        result.append(("alcohol", f"{abv(found.found_proof)} %, label {abv(label)} %"))
    return Slip("Bottles tested", tuple(readings), tuple(steps), tuple(result))


def _told(one: Bottle, size: int) -> str:
    within = "within" if is_fill_within(one.fill_ml, size) else "out"
    came = f"{one.gross_g} g less {one.tare_g} g: " if one.gross_g is not None else ""
    return f"{came}{one.fill_ml} mL, {of_full(one.fill_ml, size)} %, {within}"


def target_slip(found: Tested, tare: Decimal | None) -> Slip:
    """What to aim for on the scale and in the glass, at the temperature of the liquid."""
    rows = targets(found.bottle_ml, found.label_proof, found.temperature_f)
    steps = (
        f"Milliliters count at 60 °F (27 CFR 5.1); at {found.temperature_f:.10g} °F they show as "
        f"{shown_ml(found.bottle_ml, found.label_proof, found.temperature_f)} mL (Table 7).",
    )
    net = tuple((f"{one.name}, net", f"{one.net_g:,.1f} g") for one in rows)
    if tare is None:
        return Slip("Weights to look for", (), steps, net)
    gross = tuple((one.name, f"{one.gross_g(Decimal(tare)):,.1f} g") for one in rows)
    bottle = (("empty bottle", f"{Decimal(tare):,.1f} g"),)
    return Slip("Weights to look for", (*net, *bottle), steps, gross)


def aim(one: Target, tare: Decimal | None) -> str:
    """``706.1 g net, 1,186.6 g with the bottle``."""
    gross = f", {one.gross_g(Decimal(tare)):,.1f} g with the bottle" if tare is not None else ""
    return f"{one.net_g:,.1f} g net{gross}"


def mean_ml(fills: Sequence[Decimal]) -> Decimal:
    """The mean, to 0.01 mL."""
    return half_up(repr(fmean(fills)), "0.01")


def spread_ml(fills: Sequence[Decimal]) -> Decimal:
    """The standard deviation of a sample of two or more, to 0.01 mL."""
    return half_up(repr(float(stdev(fills))), "0.01")


def abv(proof: Decimal) -> str:
    """Per cent of alcohol by volume, half the proof (27 CFR 5.1)."""
    return f"{half_up(proof / 2, '0.01').normalize():f}"


def keep_fills(check: BottleCheck, bottles: Iterable[Bottle]) -> None:
    """Write the bottles of *check* in their order, in one statement."""
    FoundFill.objects.bulk_create(
        FoundFill(
            check_of=check, order=order, fill_ml=one.fill_ml, read_ml=one.read_ml,
            temperature_f=one.temperature_f, gross_g=one.gross_g, tare_g=one.tare_g,
        )
        for order, one in enumerate(bottles, 1)
    )  # fmt: skip
