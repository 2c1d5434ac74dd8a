"""The strapping of a vessel: which volume stands at which depth, from a day on."""

from datetime import date
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import models

from distillery import strapping
from distillery.strapping import StrappingError
from ledger.models import Vessel


class StrappingTable(models.Model):
    """One strapping of a vessel; the newest one not after the day of the gauge applies.

    Depths and sizes in inches, from the lowest point of the liquid.
    """

    class Shape(models.TextChoices):
        TABLE = "table", "by the rows below"
        UPRIGHT = "upright", "upright cylinder"
        LYING = "lying", "lying cylinder, flat ends"
        CONE = "cone", "cylinder over a cone"

    SIZES = {
        Shape.TABLE: (),
        Shape.UPRIGHT: ("diameter_in", "height_in"),
        Shape.LYING: ("diameter_in", "length_in"),
        Shape.CONE: ("diameter_in", "height_in", "cone_depth_in"),
    }

    vessel = models.ForeignKey(Vessel, models.CASCADE, related_name="strappings")
    effective = models.DateField(help_text="the first day it applies")
    source = models.CharField(
        max_length=200, help_text="who found it and how, like a calibration certificate"
    )
    shape = models.CharField(max_length=8, choices=Shape.choices, default=Shape.TABLE)
    diameter_in = models.DecimalField(
        "inside diameter, inches", max_digits=7, decimal_places=3, null=True, blank=True
    )
    length_in = models.DecimalField(
        "inside length, inches", max_digits=7, decimal_places=3, null=True, blank=True
    )
    height_in = models.DecimalField(
        "inside height, inches", max_digits=7, decimal_places=3, null=True, blank=True
    )
    cone_depth_in = models.DecimalField(
        "depth of the cone, inches", max_digits=7, decimal_places=3, null=True, blank=True
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["vessel", "effective"], name="strapping_unique")
        ]
        ordering = ["vessel", "-effective"]

    def __str__(self) -> str:
        return f"{self.get_shape_display()}, {self.source}, from {self.effective}"

    def clean(self) -> None:
        """A shape needs its sizes, each above nothing."""
        missing = {
            name: "Give this size; the shape is computed from it."
            for name in self.SIZES[self.Shape(self.shape)]
            if not (getattr(self, name) or 0) > 0
        }
        if missing:
            raise ValidationError(missing)

    @classmethod
    def on(cls, vessel: Vessel, day: date) -> "StrappingTable":
        """The strapping of *vessel* on *day*. Raises StrappingError when there is none."""
        row = cls.objects.filter(vessel=vessel, effective__lte=day).first()
        if row is None:
            raise StrappingError(
                f"{vessel.code} has no strapping on {day}. Enter it under Plant, or measure "
                "another way."
            )
        return row

    def volume_gal(self, depth_in: Decimal) -> Decimal:
        """Gallons at *depth_in*, to 0.01. Raises StrappingError above what it covers."""
        if self.shape == self.Shape.TABLE:
            rows = list(self.rows.values_list("depth_in", "volume_gal"))
            return strapping.by_table_gal(depth_in, rows)
        diameter = self.diameter_in or Decimal(0)
        if self.shape == self.Shape.LYING:
            return strapping.lying_gal(
                depth_in, diameter_in=diameter, length_in=self.length_in or Decimal(0)
            )
        strapping.refuse_above(depth_in, self.height_in or Decimal(0))
        if self.shape == self.Shape.UPRIGHT:
            return strapping.upright_gal(depth_in, diameter_in=diameter)
        return strapping.cone_bottomed_gal(
            depth_in, diameter_in=diameter, cone_depth_in=self.cone_depth_in or Decimal(0)
        )


class StrappingRow(models.Model):
    """One line of a strapping table."""

    table = models.ForeignKey(StrappingTable, models.CASCADE, related_name="rows")
    depth_in = models.DecimalField("depth, inches", max_digits=7, decimal_places=3)
    volume_gal = models.DecimalField("volume, gallons", max_digits=10, decimal_places=2)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["table", "depth_in"], name="strapping_row_unique")
        ]
        ordering = ["table", "depth_in"]

    def __str__(self) -> str:
        return f"{self.depth_in} in: {self.volume_gal} gal"
