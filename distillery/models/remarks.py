"""What an act without movements says of a vessel or a lot, so that their pages can tell it."""

from django.db import models

from ledger.models import Entry, Lot, Premises, Vessel


class Remark(models.Model):
    """One sentence of one entry: a still stopped, a tank cleaned, botanicals weighed out.

    It keeps no quantity of the book; a reversed entry leaves its remark void.
    """

    class Kind(models.TextChoices):
        STOPPED = "stopped", "still stopped"
        RUNNING = "running", "still runs on"
        CLEAN = "clean", "cleaned and ready"
        NOT_READY = "not_ready", "cleaned, not ready"
        BOTANICALS = "botanicals", "spent botanicals"
        STILLAGE = "stillage", "stillage"
        CHEMICAL = "chemical", "taken off"

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="remarks", db_index=False)
    entry = models.OneToOneField(Entry, models.PROTECT, related_name="remark")
    vessel = models.ForeignKey(
        Vessel, models.PROTECT, related_name="remarks", null=True, db_index=False
    )
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="remarks", null=True)
    kind = models.CharField(max_length=12, choices=Kind.choices)
    at = models.DateTimeField()
    words = models.CharField(max_length=400)
    is_void = models.BooleanField(default=False)

    class Meta:
        indexes = [models.Index(fields=["vessel", "-at"], name="remark_latest")]

    def __str__(self) -> str:
        return self.words
