"""What was read at a running still, beside the figures every reading has."""

from django.db import models

from distillery.models.readings import Reading
from ledger.models import Vessel


class StillReading(models.Model):
    """One look at a running still: the reading's own temperature is that of the head, its proof
    the true one. ``hydrometer`` at ``hydrometer_f`` is what was read for it; ``cut`` names the
    fraction that begins here and ``receiver`` what it runs into.
    """

    reading = models.OneToOneField(
        Reading, models.CASCADE, primary_key=True, related_name="still_reading"
    )
    condenser_f = models.DecimalField(max_digits=5, decimal_places=1, null=True)
    hydrometer = models.DecimalField(max_digits=5, decimal_places=2, null=True)
    hydrometer_f = models.DecimalField(max_digits=5, decimal_places=2, null=True)
    rate_gal_h = models.DecimalField(max_digits=7, decimal_places=2, null=True)
    receiver = models.ForeignKey(Vessel, models.PROTECT, related_name="+", null=True)
    level_gal = models.DecimalField(max_digits=9, decimal_places=2, null=True)
    cut = models.CharField(max_length=20, blank=True)

    def __str__(self) -> str:
        return str(self.reading)
