"""The gauge as a part of a form: many ways to the quantity, many to the strength."""

from dataclasses import replace
from datetime import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from distillery.forms import gauge_quantity, gauge_strength
from distillery.forms.fields import (
    ChoiceField,
    ProductField,
    QuantityField,
    TextField,
    VesselField,
    YesField,
)
from distillery.forms.gauge_quantity import BY_VOLUME, Corrected
from distillery.forms.instrument_field import InstrumentField
from distillery.forms.parts import Part, PartField
from distillery.forms.readings import DensityField, DepthField
from ledger import gauging
from ledger.gauging import Gauge, GaugingError

TANKS = ("tank", "tote", "receiver", "bottling_tank", "still")


class GaugePart(Part):
    """Readings of one gauge: one way to the quantity, one to the strength.

    In a record: ``{"volume": "111.94 gal", "temperature": "60 F", "proof": "134.0"}``,
    ``{"gross": "165.5 lb", "tare": "50 lb", "reading": "121.4", "reading_temperature": "68 F"}``,
    ``{"tank": "S-1", "dip": "40 3/8", "temperature": "68 F", "density": "0.9234 g/cm3",
    "density_at": "60 F"}`` or ``{"product": "GIN-750", "cases": "30", "label": true}``.
    """

    purpose = "bulk"
    moment: datetime | None = None

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
    tank = VesselField(*TANKS, required=False, label="Tank that was read")
    dip = DepthField(label="Dip, inches of liquid")
    sight = DepthField(label="Sight glass, inches of liquid")
    meter_start = QuantityField("volume", required=False, label="Meter at the start")
    meter_end = QuantityField("volume", required=False, label="Meter at the end")
    product = ProductField(required=False, label="Product in full bottles")
    cases = QuantityField("count", required=False, label="Full cases")
    loose_bottles = QuantityField("count", required=False, label="Bottles beside them")
    label = YesField(label="By the label: full, and nobody has tampered with them")
    density = DensityField(label="Density by meter, g/cm³ or kg/m³")
    density_at = ChoiceField(
        choices=[("", "Choose"), *gauge_strength.DENSITY_AT], required=False, label="Density at"
    )
    gravity = QuantityField(
        "specific_gravity", required=False, label="Specific gravity at 60 °F, if heavier than water"
    )
    carried = YesField(label="The proof found before, as the book has it")
    solids = forms.DecimalField(
        required=False, min_value=0, max_value=100000, label="Solids, mg in 100 mL"
    )
    restored = QuantityField("proof", required=False, label="Proof of the restored distillate")
    hydrometer = InstrumentField("hydrometer", required=False, label="Hydrometer")
    thermometer = InstrumentField("thermometer", required=False, label="Thermometer")
    density_meter = InstrumentField("density_meter", required=False, label="Density meter")
    scale = InstrumentField("scale", required=False, label="Scale")
    meter = InstrumentField("meter", required=False, label="Meter")
    why_not_weighed = TextField(label="Why it was not weighed")
    override = TextField(label="Why an instrument with a fault was used for tax")

    @property
    def is_gauged(self) -> bool:
        """Whether any field of the gauge was filled in."""
        filled = (self.data.get(self.add_prefix(name)) for name in GaugePart.base_fields)
        return any(value not in (None, "", False) for value in filled)

    def clean(self) -> dict[str, Any]:
        """Exactly one way to the quantity and one to the strength."""
        data = super().clean() or {}
        if self.errors:
            return data
        way = gauge_quantity.way_of(data)
        if not way:
            raise ValidationError(gauge_quantity.GIVE_ONE)
        vessel, purpose = self._vessel(), self._purpose()
        # All are found before the first is added: a field with an error leaves the data.
        wrong = list(gauge_quantity.wrong_quantity(data, way, vessel, purpose))
        strength = gauge_strength.way_of(data)
        if strength and way != "cases":
            wrong += gauge_strength.wrong_strength(data, strength, vessel, purpose)
        for name, sentence in wrong:
            self.add_error(name, sentence)
        if not strength and way != "cases":
            raise ValidationError(gauge_strength.GIVE_ONE)
        return data

    def _vessel(self) -> Any:
        """The vessel that was gauged: the tank named here, else the row's own."""
        return self.cleaned_data.get("tank") or self.cleaned_data.get("vessel")

    def _purpose(self) -> str:
        return self.purpose

    def gauge(self, step: str) -> Gauge:
        """The gauge, its proof gallons rounded once to *step*. Raises GaugingError."""
        data, moment = self.cleaned_data, self.moment or timezone.now()
        zone = self.premises.zone if self.premises else None
        corrected = Corrected(timezone.localdate(moment, zone))
        way = gauge_quantity.way_of(data)
        if way == "cases":
            product = data["product"]
            found = gauging.gauge_by_cases(
                bottle_ml=product.bottle_ml, bottles=gauge_quantity.bottles_of(data),
                proof=product.label_proof, step=step,
            )  # fmt: skip
        else:
            found = self._measured(way, step, moment, corrected)
        return replace(found, steps=(*corrected.steps, *found.steps, *self._marks(way, corrected)))

    def _measured(self, way: str, step: str, moment: datetime, corrected: Corrected) -> Gauge:
        data, vessel = self.cleaned_data, self._vessel()
        if gauge_strength.way_of(data) == "gravity":
            return self._heavy(way, step, corrected)
        strength = gauge_strength.strength_of(
            data, gauge_strength.way_of(data), vessel=vessel, corrected=corrected,
            moment=moment,
        )  # fmt: skip
        options = {**strength.arguments, "step": step}
        readings, steps = strength.readings, strength.steps
        if way in BY_VOLUME:
            volume = gauge_quantity.volume_of(data, way, vessel, corrected)
            warmth = corrected.value(data["thermometer"], data["temperature"])
            found = gauging.gauge_by_volume(
                volume_gal=volume.gallons, temperature_f=warmth, **options
            )
            readings, steps = (*volume.readings, *readings), (*volume.steps, *steps)
        elif way == "net":
            net = corrected.value(data["scale"], data["net"])
            found = gauging.gauge_by_weight(net_lb=net, **options)
        else:
            gross = corrected.value(data["scale"], data["gross"])
            found = gauging.gauge_by_package(gross_lb=gross, tare_lb=data["tare"], **options)
        return replace(found, readings=(*readings, *found.readings), steps=(*steps, *found.steps))

    def _heavy(self, way: str, step: str, corrected: Corrected) -> Gauge:
        """Liquor above specific gravity 1.0, by weight (27 CFR 30.41(b))."""
        data = self.cleaned_data
        net = corrected.value(data["scale"], data["net" if way == "net" else "gross"])
        if way != "net":
            if data["tare"] > net:
                raise GaugingError("The tare is above the gross weight. Weigh again.")
            net -= data["tare"]
        return gauging.gauge_by_heavy_weight(
            net_lb=net, specific_gravity=data["gravity"], proof=data["restored"], step=step
        )

    def _marks(self, way: str, corrected: Corrected) -> tuple[str, ...]:
        """What marks a gauge on its slip: faulty instruments, and why it was not weighed."""
        data = self.cleaned_data
        if corrected.faults and self._purpose() == "tax" and not data["override"]:
            raise GaugingError(
                f"{corrected.faults[0]} A gauge for tax needs instruments without a fault; use "
                "another, or say why this one was used."
            )
        marks = [f"Look: {fault}" for fault in corrected.faults]
        if corrected.faults and data["override"]:
            marks.append(f"Used all the same: {data['override']}")
        if way in BY_VOLUME and data["why_not_weighed"]:
            marks.append(f"Not weighed (27 CFR 19.284): {data['why_not_weighed']}")
        return tuple(marks)


class TaxGaugePart(GaugePart):
    """A gauge that tax is figured from: by weight, with a proof of its own."""

    purpose = "tax"


class BottlingGaugePart(GaugePart):
    """The gauge of a bottling tank: with a proof of its own."""

    purpose = "bottling"


class PackageGaugePart(GaugePart):
    """The gauge of packages: by weight."""

    purpose = "package"


PARTS = {part.purpose: part for part in (GaugePart, TaxGaugePart, BottlingGaugePart)}
PARTS["package"] = PackageGaugePart


class OfMoment:
    """A field whose answers depend on when the act happened; None is now."""

    moment: datetime | None = None


class GaugeField(OfMoment, PartField):
    """A gauge of record, as a ledger.gauging.Gauge.

    *step* is the rounding of proof gallons: "0.01", or "record" for the plant's dated setting of
    production and package gauges (0.1 by 27 CFR 19.289(d)), which the form fills in. *purpose*
    is what the law asks of it: "bulk", "package", "bottling" or "tax".
    """

    def __init__(self, *, step: str = "0.01", purpose: str = "bulk", **options: Any) -> None:
        options.setdefault("label", "Gauge")
        super().__init__(PARTS[purpose], **options)
        self.step = step
        self.record_step = "0.1"

    def result(self, part: Part) -> Gauge:
        """The gauge; a ValidationError carries the gauging sentence."""
        if not isinstance(part, GaugePart):
            raise TypeError(part)
        part.moment = self.moment
        try:
            return part.gauge(self.record_step if self.step == "record" else self.step)
        except GaugingError as error:
            raise ValidationError(str(error)) from error
