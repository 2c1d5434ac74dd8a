"""What a proof hydrometer should read in spirits of a known proof (27 CFR 30.23, Table 1)."""

from decimal import Decimal

from distillery.bench.base import BenchForm, Calculation, Fields
from distillery.bench.figures import fahrenheit, proof
from distillery.forms import QuantityField
from ledger import gauging
from ledger.gauging import GaugingError
from ledger.plan import Slip

TOP = 20600  # hundredths: the highest mark of Table 1
NEAR = Decimal("0.1")


class ExpectedReadingForm(BenchForm):
    """The proof and the temperature."""

    proof = QuantityField("proof", label="Proof at 60 °F")
    temperature = QuantityField("temperature", label="Temperature at the hydrometer")


class ExpectedReading(Calculation):
    """Table 1 searched for the readings that give the proof; they rise together."""

    slug = "expected-reading"
    title = "Expected hydrometer reading"
    group = "Strength and weight"
    form = ExpectedReadingForm

    def work(self, fields: Fields) -> Slip:
        """The reading in the middle of those that Table 1 brings to the proof."""
        strength, warmth = gauging.half_up(fields["proof"], "0.1"), fields["temperature"]
        degrees = fahrenheit(warmth)
        low, high = readings_for(strength, warmth)
        middle = gauging.half_up((low + high) / 2, "0.1")
        span = f"readings from {low:f} to {high:f}" if low < high else f"a reading of {low:f}"
        steps = (f"Table 1 brings {span} at {degrees} to {_told(low, strength, warmth)}.",)
        readings = (("Proof", f"{strength:f}"), ("Temperature", degrees))
        return Slip(self.title, readings, steps, (("reading", f"{middle:f}"),))


def readings_for(strength: Decimal, warmth: Decimal) -> tuple[Decimal, Decimal]:
    """(lowest, highest) reading in hundredths with that true proof, or the nearest one, twice.

    Table 1 steps over a tenth here and there. Raises GaugingError where none comes within 0.1.
    """
    gauging.true_proof(60, warmth)  # says so itself when the temperature is off the table
    low = _first(strength, warmth)
    high = max(low, _first(strength + NEAR, warmth) - 1)
    if abs(_read(low, warmth) - strength) > NEAR:
        raise GaugingError(
            f"No hydrometer reading from 0 to 206 stands for {proof(strength)} at that "
            "temperature: bring the sample nearer to 60 °F."
        )
    return Decimal(low) / 100, Decimal(high) / 100


def _told(reading: Decimal, strength: Decimal, warmth: Decimal) -> str:
    found = gauging.true_proof(reading, warmth)
    near = "" if found == strength else f", the nearest to {strength:f}"
    return f"{proof(found)}{near} (27 CFR 30.23)"


def _first(strength: Decimal, warmth: Decimal) -> int:
    """The first reading, in hundredths, of *strength* or more; one past the top for none."""
    low, high = 0, TOP + 1
    while low < high:
        middle = (low + high) // 2
        if _read(middle, warmth) < strength:
            low = middle + 1
        else:
            high = middle
    return low


def _read(hundredths: int, warmth: Decimal) -> Decimal:
    """True proof of a reading; just outside of 0 to 200 where Table 1 ends."""
    try:
        return gauging.true_proof(Decimal(hundredths) / 100, warmth)
    except GaugingError:
        return Decimal(-1 if hundredths < TOP // 2 else 201)
