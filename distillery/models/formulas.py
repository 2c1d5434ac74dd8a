"""Approved formulas: permanent papers of the plant (27 CFR 5.192, 19.348, 19.577)."""

from django.db import models

from ledger.classes import FAMILIES
from ledger.models import Premises


class Formula(models.Model):
    """One formula by its number, with the limits that its approval sets."""

    premises = models.ForeignKey(Premises, models.CASCADE, related_name="formulas")
    number = models.CharField(max_length=40)
    name = models.CharField(max_length=80)
    family = models.CharField(max_length=10, choices=[(f, f) for f in FAMILIES])
    type_code = models.CharField("type", max_length=40, blank=True)
    approved_on = models.DateField(
        "approved on", null=True, blank=True, help_text="empty while it waits for approval"
    )
    form_identity = models.CharField(
        "form and submission number", max_length=60, default="TTB F 5100.51"
    )
    wine_limit = models.CharField("limits on wine", max_length=200, blank=True)
    flavor_limit = models.CharField("limits on flavors", max_length=200, blank=True)
    is_active = models.BooleanField("in use", default=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["premises", "number"], name="formula_number_unique")
        ]
        ordering = ["number"]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"
