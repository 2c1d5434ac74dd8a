"""A paper as it was told to government: figures, PDF, when, by whom and how. Never changed."""

from django.db import models

from ledger.models import Premises


class Filed(models.Model):
    """One filing of one form for one period; ``version`` 0 is the original, then amendments.

    ``content`` is the canonical JSON from which every face is drawn again; ``pdf`` the paper
    itself, so that it outlives the program that drew it.
    """

    class How(models.TextChoices):
        PORTAL = "portal", "Pay.gov"
        PAPER = "paper", "on paper"
        OTHER = "other", "otherwise, as noted"

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="filings")
    form = models.CharField(max_length=20)
    source = models.CharField(max_length=20, blank=True, default="")
    begin = models.DateField(help_text="first day of the period")
    end = models.DateField(help_text="last day of the period")
    version = models.PositiveIntegerField(default=0)
    content = models.TextField()
    pdf = models.BinaryField()
    pdf_hash = models.CharField("SHA-256 of the PDF", max_length=64)
    filed_on = models.DateField()
    filed_by = models.CharField(max_length=150)
    how = models.CharField(max_length=10, choices=How.choices)
    confirmation = models.CharField(max_length=80, blank=True, default="")
    note = models.CharField(max_length=400, blank=True, default="")
    recorded_at = models.DateTimeField()
    recorded_by = models.CharField(max_length=150)
    through_entry = models.PositiveBigIntegerField()
    seal = models.CharField(max_length=64, blank=True, default="")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["premises", "form", "source", "begin", "version"], name="filed_unique"
            )
        ]
        ordering = ["begin", "form", "source", "version"]

    def __str__(self) -> str:
        return f"{self.form} {self.begin:%Y-%m} version {self.version}"

    @property
    def is_amended(self) -> bool:
        """Whether it is an amended report and not the original."""
        return self.version > 0
