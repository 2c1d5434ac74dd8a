"""What the credit for wine and flavor content rests on: eligible ingredients and kept rates.

26 U.S.C. 5010, 27 CFR 19.245-19.250 and 19.613-19.615. Rows are added, never changed: the newest
of a lot or product counts, so that a mistake is mended by a new row.
"""

from django.db import models

from ledger.models import Premises


class EligibleContent(models.Model):
    """Whether the wine or flavor of a lot is eligible, as a person told (26 U.S.C. 5010(c)).

    Wine: still wine of 26 U.S.C. 5041(b)(1) to (3), not made at a distilled spirits plant.
    Flavor: one approved for drawback, not made there either. A lot that nobody marked earns no
    credit: its alcohol counts as spirits.
    """

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="eligible_content")
    lot = models.CharField("lot of the wine or flavor", max_length=60)
    is_eligible = models.BooleanField("eligible", default=True)
    why = models.CharField("approval, or why", max_length=200)
    marked_at = models.DateTimeField(auto_now_add=True)
    marked_by = models.CharField(max_length=150)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.lot} {'eligible' if self.is_eligible else 'not eligible'}"


class EffectiveRate(models.Model):
    """The effective tax rate, at the general rate of tax, of a lot or a product from a day on.

    ``worked`` holds what it was computed from. Only a kept rate changes a tax figure.
    """

    class Method(models.TextChoices):
        BATCH = "batch", "by batch (27 CFR 19.247)"
        STANDARD = "standard", "standard (27 CFR 19.248)"
        AVERAGE = "average", "average of six months (27 CFR 19.249)"

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="effective_rates")
    method = models.CharField(max_length=10, choices=Method.choices)
    lot = models.CharField(max_length=60, blank=True, default="")
    product = models.CharField(max_length=80, blank=True, default="")
    effective = models.DateField("from", help_text="the first day it applies")
    until = models.DateField("to", null=True, blank=True)
    rate = models.DecimalField("dollars a proof gallon", max_digits=6, decimal_places=2)
    worked = models.JSONField()
    kept_at = models.DateTimeField(auto_now_add=True)
    kept_by = models.CharField(max_length=150)

    class Meta:
        ordering = ["pk"]
        indexes = [models.Index(fields=["premises", "method"], name="effective_rate_method")]

    def __str__(self) -> str:
        return f"{self.lot or self.product} ${self.rate} from {self.effective}"
