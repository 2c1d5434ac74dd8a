"""True proof from a hydrometer reading and its temperature (27 CFR 30.23, 30.31, Table 1)."""

from decimal import Decimal
from math import floor

from distillery.bench.base import BenchForm, Calculation, Fields
from distillery.bench.figures import fahrenheit, proof, typed
from distillery.forms import QuantityField
from ledger import gauging
from ledger.gauging import GaugingError
from ledger.plan import Slip


class TrueProofForm(BenchForm):
    """The reading, its temperature, and what solids hide."""

    reading = QuantityField("proof", label="Hydrometer reading")
    temperature = QuantityField("temperature", label="Temperature at the hydrometer")
    obscuration = QuantityField("proof", required=False, label="Obscuration to add")


class TrueProof(Calculation):
    """Table 1 between its cells, then the obscuration."""

    slug = "true-proof"
    title = "True proof"
    group = "Gauge"
    form = TrueProofForm
    operation = "bottle"

    def work(self, fields: Fields) -> Slip:
        """The apparent and the true proof."""
        reading, warmth = fields["reading"], fields["temperature"]
        apparent = gauging.true_proof(reading, warmth)
        true = true_proof_of(fields)
        steps = (
            *_cells(reading, warmth),
            f"Table 1: {reading:f} at {fahrenheit(warmth)} is {proof(apparent)}.",
        )
        hidden = fields["obscuration"]
        if hidden:
            steps += (f"Obscuration: {proof(apparent)} + {hidden:f} = {proof(true)}.",)
        readings = (("Reading", f"{reading:f}"), ("Temperature", fahrenheit(warmth)))
        return Slip("True proof", readings, steps, (("true proof", proof(true)),))

    def carried(self, fields: Fields) -> dict[str, str]:
        """The proof bottled."""
        return {"proof": typed(true_proof_of(fields), "0.1")}


def true_proof_of(fields: Fields) -> Decimal:
    """Apparent proof and obscuration, 200 at most. Raises GaugingError."""
    apparent = gauging.true_proof(fields["reading"], fields["temperature"])
    true = apparent + gauging.half_up(fields["obscuration"] or 0, "0.1")
    if true > 200:
        raise GaugingError(f"With the obscuration that is {true:f} proof: read again.")
    return true


def _cells(reading: Decimal, warmth: Decimal) -> tuple[str, ...]:
    """The cells between which the reading lies; none for a reading that is a cell itself."""
    mark, degree = floor(reading), floor(warmth)
    wanted = [(mark, degree)]
    wanted += [(mark + 1, degree)] if reading > mark else []
    wanted += [(mark, degree + 1)] if warmth > degree else []
    if len(wanted) == 1:
        return ()
    try:
        told = [f"{m} at {d} °F is {gauging.true_proof(m, d):f}" for m, d in wanted]
    except GaugingError:
        return ()  # a cell just outside 0 to 200 proof: the result inside still stands
    return (f"Cells of Table 1: {'; '.join(told)} (27 CFR 30.23).",)
