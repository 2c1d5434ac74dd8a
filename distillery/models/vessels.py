"""What a vessel is like: one sheet for each, and one more for barrels."""

from django.core.validators import MaxValueValidator
from django.db import models

from ledger.models import Vessel


class VesselSheet(models.Model):
    """Place, size and order on the floor."""

    vessel = models.OneToOneField(Vessel, models.CASCADE, related_name="sheet")
    title = models.CharField(max_length=60, blank=True)
    room = models.CharField(max_length=60, blank=True)
    capacity_gal = models.DecimalField(
        "capacity, gallons", max_digits=9, decimal_places=2, null=True, blank=True
    )
    order = models.PositiveIntegerField(default=0)
    # Where it stands in the picture of its room; both empty: after the others, in order.
    x = models.PositiveSmallIntegerField(
        "from the left wall, per cent", null=True, blank=True, validators=[MaxValueValidator(100)]
    )
    y = models.PositiveSmallIntegerField(
        "from the far wall, per cent", null=True, blank=True, validators=[MaxValueValidator(100)]
    )

    class Meta:
        ordering = ["order", "vessel__code"]

    def __str__(self) -> str:
        return self.title or self.vessel.code


class Barrel(models.Model):
    """Cooperage of a barrel. Codes as in 27 CFR 19.618."""

    class Cooperage(models.TextChoices):
        CHARRED = "C", "C · charred"
        RECHARRED = "REC", "REC · recharred"
        PLAIN = "P", "P · plain"
        PARAFFINED = "PAR", "PAR · paraffined"
        GLUED = "G", "G · glued"
        REUSED = "R", "R · reused"
        STEAMED = "PS", "PS · steamed or soaked before filling"

    vessel = models.OneToOneField(Vessel, models.CASCADE, related_name="barrel")
    rated_gal = models.DecimalField("rated capacity, gallons", max_digits=6, decimal_places=2)
    cooperage = models.CharField(max_length=3, choices=Cooperage.choices, default=Cooperage.CHARRED)
    tare_lb = models.DecimalField(
        "empty weight, pounds", max_digits=7, decimal_places=2, null=True, blank=True
    )
    was_filled_before = models.BooleanField("held spirits before it came here", default=False)
    cooper = models.CharField(max_length=120, blank=True, default="")
    held_before = models.CharField("what it held before", max_length=120, blank=True, default="")
    is_gone = models.BooleanField("sold, sent away or retired", default=False)

    def __str__(self) -> str:
        return self.vessel.code
