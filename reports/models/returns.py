"""What the tax return needs beside the book: adjustments a person enters, and prepayments."""

from django.db import models

from ledger.models import Premises


class Adjustment(models.Model):
    """An entry of Schedule A (increasing) or B (decreasing) of TTB F 5000.24.

    Shortages, late removals and mended documents come from the book by themselves; this is for
    what the book does not know: an approved claim, interest or penalty told by TTB.
    """

    class Schedule(models.TextChoices):
        INCREASING = "A", "Schedule A: increases what is due"
        DECREASING = "B", "Schedule B: decreases what is due"

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="adjustments")
    schedule = models.CharField(max_length=1, choices=Schedule.choices)
    found_on = models.DateField("found or approved on")
    explanation = models.CharField(max_length=300)
    claim = models.CharField("claim number", max_length=40, blank=True, default="")
    tax = models.DecimalField(max_digits=12, decimal_places=2)
    interest = models.DecimalField(max_digits=12, decimal_places=2, default=0)
    penalty = models.DecimalField(max_digits=12, decimal_places=2, default=0)
    is_withdrawn = models.BooleanField(default=False)
    recorded_at = models.DateTimeField(auto_now_add=True)
    recorded_by = models.CharField(max_length=150)

    class Meta:
        ordering = ["found_on", "pk"]

    def __str__(self) -> str:
        return f"Schedule {self.schedule}: {self.explanation}"


class Prepayment(models.Model):
    """A prepayment return: tax paid before the goods leave (27 CFR 19.233).

    ``documents`` are the numbers of the removals it pays for; each record carries its number
    and time.
    """

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="prepayments")
    year = models.PositiveIntegerField()
    number = models.PositiveIntegerField()
    paid_at = models.DateTimeField()
    documents = models.JSONField()
    tax = models.DecimalField(max_digits=12, decimal_places=2)
    confirmation = models.CharField(max_length=80, blank=True, default="")
    recorded_at = models.DateTimeField(auto_now_add=True)
    recorded_by = models.CharField(max_length=150)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["premises", "year", "number"], name="prepayment_unique")
        ]
        ordering = ["year", "number"]

    def __str__(self) -> str:
        return self.serial

    @property
    def serial(self) -> str:
        """The number of the prepayment return, from P-1 each January."""
        return f"P-{self.year}-{self.number}"
