"""Proof gallons of a measured volume (27 CFR 30.51, 30.67)."""

from distillery.bench.base import Calculation, Fields, StrengthForm, step_field, strength_of
from distillery.bench.figures import typed
from distillery.forms import QuantityField
from distillery.plans import slip
from ledger import gauging
from ledger.gauging import Gauge
from ledger.plan import Slip


class ByVolumeForm(StrengthForm):
    """The volume and its temperature, and the strength."""

    volume = QuantityField("volume", label="Volume")
    temperature = QuantityField(
        "temperature", required=False, label="Temperature of the liquid, empty for 60 °F"
    )
    rounded_to = step_field("0.01")
    field_order = ("volume", "temperature")


class ByVolume(Calculation):
    """The volume brought to 60 °F, times the proof."""

    slug = "proof-gallons-by-volume"
    title = "Proof gallons by volume"
    group = "Gauge"
    form = ByVolumeForm
    operation = "transfer"

    def work(self, fields: Fields) -> Slip:
        """The gauge as a slip."""
        return slip(_gauge(fields), self.title)

    def carried(self, fields: Fields) -> dict[str, str]:
        """The gallons at 60 °F moved."""
        return {"volume": typed(_gauge(fields).wine_gallons)}


def _gauge(fields: Fields) -> Gauge:
    warmth = fields["temperature"]
    return gauging.gauge_by_volume(
        volume_gal=fields["volume"],
        temperature_f=60 if warmth is None else warmth,
        step=fields["rounded_to"] or "0.01",
        **strength_of(fields),
    )
