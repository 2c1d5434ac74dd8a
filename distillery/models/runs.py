"""Acts that last: a bottling from its tank gauge to its close, and the case numbers it used."""

from django.db import models

from distillery.models.stock import Product
from ledger.models import Entry, Premises, Vessel


class BottlingRun(models.Model):
    """One bottling: opened by a tank gauge (27 CFR 19.353), closed with its gain or loss."""

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="bottlings")
    vessel = models.ForeignKey(Vessel, models.PROTECT)
    product = models.ForeignKey(Product, models.PROTECT)
    serial = models.CharField(max_length=60)
    lot_code = models.CharField("finished lot", max_length=60)
    tank_proof = models.DecimalField(
        "proof as gauged", max_digits=4, decimal_places=1, null=True,
        help_text="what bottles count at unless another was measured (27 CFR 19.353)",
    )  # fmt: skip
    opened_by = models.OneToOneField(Entry, models.PROTECT, related_name="bottling_opened")
    closed_by = models.OneToOneField(
        Entry, models.PROTECT, related_name="bottling_closed", null=True
    )
    is_void = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["premises", "vessel"],
                condition=models.Q(closed_by=None, is_void=False),
                name="one_open_bottling_a_tank",
            )
        ]

    def __str__(self) -> str:
        return self.serial


class CaseSerials(models.Model):
    """Case numbers used by one act; never used a second time, reversed or not.

    ``series`` is the letters before the number, "" for the plant's one series (27 CFR 19.490);
    ``from_loose`` counts bottles of earlier remnants in these cases. No product: a mixed case.
    """

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="case_serials")
    product = models.ForeignKey(Product, models.PROTECT, null=True)
    series = models.CharField(max_length=4, blank=True)
    entry = models.OneToOneField(Entry, models.PROTECT, related_name="case_serials")
    first = models.PositiveIntegerField(null=True)
    last = models.PositiveIntegerField()
    remnant_bottles = models.PositiveIntegerField(default=0)
    from_loose = models.PositiveIntegerField(default=0)

    class Meta:
        verbose_name_plural = "case serials"
        indexes = [
            models.Index(fields=["premises", "series", "-last"], name="case_serials_of_series")
        ]

    def __str__(self) -> str:
        return f"{self.first}–{self.last}"
