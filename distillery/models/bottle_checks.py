"""Tests at the bottling line: the filler before the run, fill and alcohol during it."""

from django.db import models

from distillery.models.runs import BottlingRun
from ledger.models import Premises, Vessel


class BottleCheck(models.Model):
    """One test of filled bottles (27 CFR 19.356, 19.600); a reading, never part of the book.

    ``label_proof`` and ``found_proof`` are degrees of proof at 60 °F; ``is_within`` is None where
    nothing was held against a tolerance, as before the run. ``action`` is the adjustment of the
    filler, or what was done about a fault found.
    """

    class Kind(models.TextChoices):
        CALIBRATION = "calibration", "filler calibrated"
        CHECK = "check", "bottles checked"

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="bottle_checks")
    key = models.CharField(max_length=80)
    kind = models.CharField(max_length=12, choices=Kind.choices)
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="bottle_checks", db_index=False)
    run = models.ForeignKey(
        BottlingRun, models.PROTECT, related_name="checks", null=True, db_index=False
    )
    at = models.DateTimeField()
    recorded_at = models.DateTimeField(auto_now_add=True)
    by = models.CharField(max_length=150)
    line = models.CharField(max_length=40, blank=True)
    bottle_ml = models.PositiveIntegerField("bottle, mL")
    tested = models.PositiveIntegerField("bottles tested")
    label_proof = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    found_proof = models.DecimalField(max_digits=5, decimal_places=2, null=True)
    is_within = models.BooleanField("within tolerance", null=True)
    action = models.CharField("corrective action", max_length=400, blank=True)
    note = models.CharField(max_length=400, blank=True)
    form = models.TextField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["premises", "key"], name="bottle_check_key")]
        indexes = [
            models.Index(fields=["vessel", "-at"], name="bottle_check_latest"),
            models.Index(fields=["run", "at"], name="bottle_check_of_run"),
        ]

    def __str__(self) -> str:
        return f"{self.vessel} {self.at:%Y-%m-%d %H:%M}"


class FoundFill(models.Model):
    """The fill of one bottle tested: milliliters at 60 °F, and the readings it came from."""

    check_of = models.ForeignKey(BottleCheck, models.CASCADE, related_name="fills", db_index=False)
    order = models.PositiveSmallIntegerField()
    fill_ml = models.DecimalField("fill at 60 °F, mL", max_digits=8, decimal_places=2)
    read_ml = models.DecimalField(max_digits=8, decimal_places=2, null=True)
    temperature_f = models.DecimalField(max_digits=5, decimal_places=1, null=True)
    gross_g = models.DecimalField(max_digits=8, decimal_places=2, null=True)
    tare_g = models.DecimalField(max_digits=8, decimal_places=2, null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["check_of", "order"], name="found_fill_order")
        ]
        ordering = ["check_of", "order"]

    def __str__(self) -> str:
        return f"{self.fill_ml} mL"
