"""Packages filled in processing, and samples too small to move the book by themselves."""

from django.db import models

from ledger.models import Entry, Lot, Premises, Vessel


class PackageSerials(models.Model):
    """Numbers of packages filled in processing: a series apart from the cases (27 CFR 19.490)."""

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="package_serials")
    entry = models.OneToOneField(Entry, models.PROTECT, related_name="package_serials")
    first = models.PositiveIntegerField()
    last = models.PositiveIntegerField()

    class Meta:
        verbose_name_plural = "package serials"
        indexes = [models.Index(fields=["premises", "-last"], name="package_serials_last")]

    def __str__(self) -> str:
        return f"{self.first}–{self.last}"


class SampleTaken(models.Model):
    """One pull in bulk: what it really was, beside the hundredths the book moved for it.

    ``volume_ml`` and ``proof`` (tenths of a degree) are exact; the hundredths moved are those of
    the running total less what earlier pulls of the lot had moved (27 CFR 19.616).
    """

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="samples_taken")
    entry = models.OneToOneField(Entry, models.PROTECT, related_name="sample_taken")
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="samples_taken")
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="+")
    account = models.CharField(max_length=20)
    volume_ml = models.DecimalField(max_digits=12, decimal_places=2)
    proof = models.PositiveIntegerField()
    wine_gallons = models.BigIntegerField()
    proof_gallons = models.BigIntegerField()
    is_void = models.BooleanField(default=False)

    def __str__(self) -> str:
        return f"{self.volume_ml} mL of {self.lot}"
