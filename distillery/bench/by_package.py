"""Proof gallons of one package by gross weight and tare (27 CFR 30.43 to 30.45, 30.62)."""

from distillery.bench.base import Calculation, Fields, StrengthForm, step_field, strength_of
from distillery.bench.figures import typed
from distillery.forms import QuantityField
from distillery.plans import slip
from ledger import gauging
from ledger.errors import BadFact
from ledger.gauging import Gauge
from ledger.plan import Slip
from ledger.units import show


class ByPackageForm(StrengthForm):
    """Gross weight, tare and the strength."""

    gross = QuantityField("weight", label="Gross weight")
    tare = QuantityField("weight", label="Tare")
    rounded_to = step_field("0.1")
    field_order = ("gross", "tare")


class ByPackage(Calculation):
    """The net weight times the factors of Table 4; to 0.1 as 27 CFR 19.289(d) has it."""

    slug = "proof-gallons-by-package"
    title = "Proof gallons by package"
    group = "Gauge"
    form = ByPackageForm
    operation = "fill-barrels"

    def work(self, fields: Fields) -> Slip:
        """The gauge as a slip."""
        return slip(_gauge(fields), self.title)

    def carried(self, fields: Fields) -> dict[str, str]:
        """The weights of the first barrel filled, and the proof."""
        weights = {f"barrels-0-{name}": typed(fields[name]) for name in ("gross", "tare")}
        return {**weights, "proof": typed(_gauge(fields).proof, "0.1")}


def _gauge(fields: Fields) -> Gauge:
    gross, tare = fields["gross"], fields["tare"]
    if tare > gross:
        told = f"The tare is more than the gross weight, {show(gross, 'weight')}."
        raise BadFact(f"{told} Weigh again, or swap the two.", field="tare")
    return gauging.gauge_by_package(
        gross_lb=gross, tare_lb=tare, step=fields["rounded_to"] or "0.1", **strength_of(fields)
    )
