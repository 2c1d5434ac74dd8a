"""Proof gallons of full bottles by their labels (27 CFR 19.286, 19.582, 30.52)."""

from distillery.bench.base import BenchForm, Calculation, Fields, step_field
from distillery.forms import QuantityField
from distillery.plans import slip
from ledger import gauging
from ledger.errors import BadFact
from ledger.plan import Slip


class ByCasesForm(BenchForm):
    """Cases, what is in one, loose bottles beside them, and the label proof."""

    cases = QuantityField("count", required=False, label="Full cases")
    per_case = QuantityField("count", required=False, above=1, label="Bottles in a case")
    loose = QuantityField("count", required=False, label="Loose bottles")
    bottle_ml = QuantityField("count", above=1, label="Bottle size, mL")
    proof = QuantityField("proof", label="Label proof")
    rounded_to = step_field("0.01")


class ByCases(Calculation):
    """Liters by the labels, in the law's gallons, times the label proof."""

    slug = "proof-gallons-by-cases"
    title = "Proof gallons by cases"
    group = "Gauge"
    form = ByCasesForm
    operation = "bottle"

    def work(self, fields: Fields) -> Slip:
        """The gauge as a slip."""
        cases, loose = fields["cases"] or 0, fields["loose"] or 0
        if cases and fields["per_case"] is None:
            raise BadFact("Give the bottles in a case, such as 6.", field="per_case")
        bottles = cases * (fields["per_case"] or 0) + loose
        if not bottles:
            raise BadFact("Give full cases, or loose bottles.", field="cases")
        gauge = gauging.gauge_by_cases(
            bottle_ml=fields["bottle_ml"], bottles=bottles, proof=fields["proof"],
            step=fields["rounded_to"] or "0.01",
        )  # fmt: skip
        return slip(gauge, self.title)

    def carried(self, fields: Fields) -> dict[str, str]:
        """The cases and loose bottles bottled."""
        told = {name: fields[name] for name in ("cases", "loose") if fields[name]}
        return {name: f"{value:f}" for name, value in told.items()}
