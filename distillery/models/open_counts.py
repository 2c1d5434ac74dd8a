"""A physical count while it is walked: opened, filled in place by place, then signed or dropped."""

from django.db import models

from ledger.models import Entry, Lot, Premises, Vessel


class OpenCount(models.Model):
    """One count from its opening; ``closed_by`` is the entry that signed it, beside the book."""

    class Kind(models.TextChoices):
        QUARTER = "quarter", "quarter's inventory of tanks"  # 27 CFR 19.312, 19.333, 19.371
        BOTTLED = "bottled", "half-yearly inventory of bottled goods"  # 27 CFR 19.372
        OTHER = "other", "any other count"

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="counts")
    number = models.PositiveIntegerField()
    kind = models.CharField(max_length=10, choices=Kind.choices)
    as_of = models.DateField()
    is_blind = models.BooleanField(default=True)
    started_at = models.DateTimeField()
    started_by = models.CharField(max_length=150)
    closed_by = models.OneToOneField(
        Entry, models.PROTECT, related_name="count_closed", null=True, blank=True
    )
    is_dropped = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["premises", "number"], name="open_count_number_unique")
        ]
        ordering = ["-number"]

    def __str__(self) -> str:
        return f"Count {self.number}"

    @property
    def is_open(self) -> bool:
        """Whether it is still walked."""
        return self.closed_by_id is None and not self.is_dropped


class CountedPlace(models.Model):
    """What was found of one lot in one vessel, as filled in; counted again, it is overwritten."""

    count = models.ForeignKey(OpenCount, models.CASCADE, related_name="places")
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="+")
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="+")
    row = models.TextField()
    counted_at = models.DateTimeField()
    by = models.CharField(max_length=150)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["count", "vessel", "lot"], name="counted_place_unique")
        ]

    def __str__(self) -> str:
        return f"{self.count_id}: {self.vessel_id}"
