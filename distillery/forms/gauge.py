"""The gauge as a part of a form: by volume or by weight, with the strength read or told."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.forms.fields import QuantityField
from distillery.forms.parts import Part, PartField
from ledger import gauging
from ledger.gauging import Gauge, GaugingError


class GaugePart(Part):
    """Readings of one gauge. Volume with its temperature, or weights; proof, or a reading.

    In a record: ``{"volume": "111.94 gal", "temperature": "60 F", "proof": "134.0"}`` or
    ``{"gross": "165.5 lb", "tare": "50 lb", "reading": "121.4", "reading_temperature": "68 F"}``.
    """

    volume = QuantityField("volume", required=False, label="Volume")
    temperature = QuantityField(
        "temperature", required=False, label="Temperature of the liquid when measured"
    )
    gross = QuantityField("weight", required=False, label="Gross weight")
    tare = QuantityField("weight", required=False, label="Tare")
    net = QuantityField("weight", required=False, label="Net weight, if read directly")
    proof = QuantityField("proof", required=False, label="Proof at 60 °F, if already corrected")
    reading = QuantityField("proof", required=False, label="Hydrometer reading")
    reading_temperature = QuantityField(
        "temperature", required=False, label="Temperature at the hydrometer"
    )
    obscuration = QuantityField("proof", required=False, label="Obscuration to add")

    def clean(self) -> dict[str, Any]:
        """Exactly one way to the quantity and one to the strength."""
        data = super().clean() or {}
        if self.errors:
            return data
        given = [name for name in ("volume", "gross", "net") if data.get(name) is not None]
        if len(given) != 1:
            raise ValidationError(
                "Give either a volume, or gross weight and tare, or a net weight."
            )
        if data["volume"] is not None and data["temperature"] is None:
            self.add_error("temperature", "Give the temperature of the liquid, like 60 F.")
        if data["gross"] is not None and data["tare"] is None:
            self.add_error("tare", "Give the tare in pounds, like 50.5.")
        if (data["proof"] is None) == (data["reading"] is None):
            raise ValidationError("Give either the proof at 60 °F or a hydrometer reading.")
        if data["reading"] is not None and data["reading_temperature"] is None:
            data["reading_temperature"] = data["temperature"]
            if data["temperature"] is None:
                self.add_error("reading_temperature", "Give the temperature read, like 68 F.")
        return data

    def gauge(self, step: str) -> Gauge:
        """The gauge, its proof gallons rounded once to *step*. Raises GaugingError."""
        data = self.cleaned_data
        strength = {
            "proof": data["proof"],
            "reading": data["reading"],
            "reading_temperature_f": data["reading_temperature"],
            "obscuration": data["obscuration"] or 0,
            "step": step,
        }
        if data["volume"] is not None:
            return gauging.gauge_by_volume(
                volume_gal=data["volume"], temperature_f=data["temperature"], **strength
            )
        if data["net"] is not None:
            return gauging.gauge_by_weight(net_lb=data["net"], **strength)
        return gauging.gauge_by_package(gross_lb=data["gross"], tare_lb=data["tare"], **strength)


class GaugeField(PartField):
    """A gauge of record, as a ledger.gauging.Gauge.

    *step* is the rounding of proof gallons: "0.01", or "record" for the plant's dated setting of
    production and package gauges (0.1 by 27 CFR 19.289(d)), which the form fills in.
    """

    def __init__(self, *, step: str = "0.01", **options: Any) -> None:
        options.setdefault("label", "Gauge")
        super().__init__(GaugePart, **options)
        self.step = step
        self.record_step = "0.1"

    def result(self, part: Part) -> Gauge:
        """The gauge; a ValidationError carries the gauging sentence."""
        if not isinstance(part, GaugePart):
            raise TypeError(part)
        try:
            return part.gauge(self.record_step if self.step == "record" else self.step)
        except GaugingError as error:
            raise ValidationError(str(error)) from error
