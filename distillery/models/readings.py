"""Process readings: small rows, plotted, never part of the book, and never changed either."""

from django.db import models

from ledger.models import Lot, Premises, Vessel


class ReadingSet(models.QuerySet["Reading"]):
    """Readings, of which those that were voided stay on record."""

    def standing(self) -> "ReadingSet":
        """What counts: those that nobody voided."""
        return self.filter(void=None)


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

    objects = ReadingSet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["premises", "key"], name="reading_key")]
        indexes = [models.Index(fields=["vessel", "-at"], name="reading_latest")]

    def __str__(self) -> str:
        return f"{self.vessel} {self.at:%Y-%m-%d %H:%M}"


class ReadingVoid(models.Model):
    """A reading that does not count: who says so, when, and why. The reading itself stays."""

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="+", db_index=False)
    key = models.CharField(max_length=80)
    reading = models.OneToOneField(Reading, models.PROTECT, related_name="void")
    recorded_at = models.DateTimeField(auto_now_add=True)
    by = models.CharField(max_length=150)
    reason = models.CharField(max_length=400)
    form = models.TextField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["premises", "key"], name="reading_void_key")]

    def __str__(self) -> str:
        return f"{self.reading}, voided by {self.by}: {self.reason}"
