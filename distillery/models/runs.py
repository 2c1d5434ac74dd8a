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
    """Case numbers used by one day's bottling; never used a second time, reversed or not."""

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="case_serials")
    product = models.ForeignKey(Product, models.PROTECT)
    entry = models.OneToOneField(Entry, models.PROTECT, related_name="case_serials")
    first = models.PositiveIntegerField(null=True)
    last = models.PositiveIntegerField()
    remnant_bottles = models.PositiveIntegerField(default=0)

    class Meta:
        verbose_name_plural = "case serials"
        indexes = [models.Index(fields=["product", "-last"], name="case_serials_last")]

    def __str__(self) -> str:
        return f"{self.first}–{self.last}"
