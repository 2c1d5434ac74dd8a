"""Process readings: small rows, plotted, never part of the book."""

from django.db import models

from ledger.models import Lot, Premises, Vessel


class Reading(models.Model):
    """One look at a vessel: gravity, temperature, pH, strength, a note."""

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="readings")
    key = models.CharField(max_length=80)
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="readings", db_index=False)
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="readings", null=True)
    at = models.DateTimeField()
    recorded_at = models.DateTimeField(auto_now_add=True)
    by = models.CharField(max_length=150)
    gravity = models.DecimalField(max_digits=5, decimal_places=4, null=True)
    temperature_f = models.DecimalField(max_digits=5, decimal_places=1, null=True)
    ph = models.DecimalField(max_digits=4, decimal_places=2, null=True)
    proof = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    note = models.CharField(max_length=400, blank=True)
    form = models.TextField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["premises", "key"], name="reading_key")]
        indexes = [models.Index(fields=["vessel", "-at"], name="reading_latest")]

    def __str__(self) -> str:
        return f"{self.vessel} {self.at:%Y-%m-%d %H:%M}"
