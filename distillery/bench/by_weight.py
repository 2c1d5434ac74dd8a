"""Proof gallons of a net weight (27 CFR 30.41, 30.62, 30.64)."""

from distillery.bench.base import Calculation, Fields, StrengthForm, step_field, strength_of
from distillery.bench.figures import typed
from distillery.forms import QuantityField
from distillery.plans import slip
from ledger import gauging
from ledger.gauging import Gauge
from ledger.plan import Slip


class ByWeightForm(StrengthForm):
    """The net weight and the strength."""

    net = QuantityField("weight", label="Net weight")
    rounded_to = step_field("0.01")
    field_order = ("net",)


class ByWeight(Calculation):
    """Pounds times the factors of Table 4."""

    slug = "proof-gallons-by-weight"
    title = "Proof gallons by weight"
    group = "Gauge"
    form = ByWeightForm
    operation = "transfer"

    def work(self, fields: Fields) -> Slip:
        """The gauge as a slip."""
        return slip(_gauge(fields), self.title)

    def carried(self, fields: Fields) -> dict[str, str]:
        """The gallons at 60 °F moved."""
        return {"volume": typed(_gauge(fields).wine_gallons)}


def _gauge(fields: Fields) -> Gauge:
    return gauging.gauge_by_weight(
        net_lb=fields["net"], step=fields["rounded_to"] or "0.01", **strength_of(fields)
    )
