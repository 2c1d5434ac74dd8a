"""One barrel of a record that fills barrels: how it was weighed or measured."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.forms import Part, QuantityField, VesselField
from distillery.models import Barrel

# A row that weighs and measures nothing: the barrel holds the average of those like it.
UNWEIGHED = {"gross": None, "tare": None, "net": None, "volume": None}


class BarrelPart(Part):
    """One barrel filled: weighed, measured, or neither, and then it holds the average.

    In a record: ``{"barrel": "B-1", "gross": "165.5 lb", "tare": "50 lb"}`` or
    ``{"barrel": "B-1"}``.
    """

    barrel = VesselField("barrel", label="Barrel")
    gross = QuantityField("weight", required=False, above=1, label="Gross weight")
    tare = QuantityField("weight", required=False, label="Tare, empty for the one on the list")
    net = QuantityField("weight", required=False, above=1, label="Net weight, if read directly")
    volume = QuantityField("volume", required=False, above=1, label="Gallons at 60 °F, if metered")

    def clean(self) -> dict[str, Any]:
        """At most one way to the quantity; a gross weight finds its tare on the plant's list."""
        data = super().clean() or {}
        given = [name for name in ("gross", "net", "volume") if data.get(name) is not None]
        if len(given) > 1:
            raise ValidationError("Give a gross weight, a net weight or a volume, one of them.")
        if data.get("gross") is not None and data.get("tare") is None and data.get("barrel"):
            sheet = Barrel.objects.filter(vessel=data["barrel"]).first()
            if sheet is None or sheet.tare_lb is None:
                self.add_error("tare", "Give the empty weight; the plant's list has none for it.")
            else:
                data["tare"] = sheet.tare_lb
        return data
