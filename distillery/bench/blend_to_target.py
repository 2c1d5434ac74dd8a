"""How much of a second lot brings a first one to a proof (mass and alcohol kept)."""

from decimal import Decimal

from distillery.bench.base import BenchForm, Calculation, Fields, tenth
from distillery.bench.figures import gal, proof, room, typed
from distillery.bench.naive import naive_steps
from distillery.forms import QuantityField
from ledger import gauging
from ledger.errors import BadFact
from ledger.gauging import specific_gravity
from ledger.plan import Slip


class BlendToTargetForm(BenchForm):
    """The first lot, the strength of the second, and the proof wanted."""

    volume = QuantityField("volume", above=1, label="First lot, gallons at 60 °F")
    proof = QuantityField("proof", label="Proof of the first lot")
    second_proof = QuantityField("proof", label="Proof of the second lot, 0 for water")
    to_proof = QuantityField("proof", label="Proof wanted")


class BlendToTarget(Calculation):
    """Alcohol and weight add up; 27 CFR 30.66 is the case of a second lot that is water."""

    slug = "blend-to-a-proof"
    title = "Blend two lots to a proof"
    group = "Reduce and blend"
    form = BlendToTargetForm
    operation = "transfer"

    def work(self, fields: Fields) -> Slip:
        """The gallons of the second lot, and what the sum of volumes would say."""
        have = fields["volume"]
        first, second, to = _proofs(fields)
        more = second_gal(have, first=first, second=second, to=to)
        after, strength = gauging.blend(((have, first), (more, second)))
        steps = (
            f"Weights of a gallon against water: {specific_gravity(first):.5f} at {first:f}, "
            f"{specific_gravity(second):.5f} at {second:f}, {specific_gravity(to):.5f} at "
            f"{to:f} proof.",
            f"Alcohol and weight add up with {gal(more)} of the second lot.",
            f"Together {gal(after)} at {proof(strength)}: {room(have + more, after)}.",
            *naive_steps(have, first=first, second=second, to=to),
        )
        readings = (
            ("First lot", f"{gal(have)} at {proof(first)}"),
            ("Second lot", proof(second)),
            ("Wanted", proof(to)),
        )
        result = (("of the second lot", gal(more)), ("together", gal(after)))
        return Slip(self.title, readings, steps, result)

    def carried(self, fields: Fields) -> dict[str, str]:
        """The gallons of the second lot moved."""
        first, second, to = _proofs(fields)
        more = second_gal(fields["volume"], first=first, second=second, to=to)
        return {"volume": typed(more)}


def second_gal(volume_gal: Decimal, *, first: Decimal, second: Decimal, to: Decimal) -> Decimal:
    """Gallons of *second* proof that bring *volume_gal* of *first* proof to *to*.

    From alcohol, V t = v p + x q, and weight, V g(t) = v g(p) + x g(q), g the specific gravity.
    """
    light, heavy, mixed = (specific_gravity(one) for one in (first, second, to))
    return volume_gal * (mixed * first - to * light) / (to * heavy - second * mixed)


def _proofs(fields: Fields) -> tuple[Decimal, Decimal, Decimal]:
    """(first, second, wanted) to 0.1. BadFact when the wanted one does not lie between."""
    first = gauging.half_up(fields["proof"], "0.1")
    second = gauging.half_up(fields["second_proof"], "0.1")
    to = tenth(fields, "to_proof")
    low, high = sorted((first, second))
    if not low < to < high:
        raise BadFact(
            f"Give a proof between the two lots, above {low:f} and below {high:f}."
            if low < high
            else "The two lots are of one strength: no blend of them has another.",
            field="to_proof",
        )
    return first, second, to
