"""What came from a tablet: which one, and when it was made by the tablet's own clock."""

from django.db import models

from ledger.models import Entry, Premises


class TabletRecord(models.Model):
    """Beside one record that a tablet kept and sent; nothing is ever summed from it.

    ``made_at`` is the tablet's clock, ``offset_minutes`` what it was ahead of UTC, and
    ``received_at`` the server's clock: where they are far apart, the tablet's was wrong or the
    record waited. ``entry`` is empty for a reading, which is no entry.
    """

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="tablet_records")
    key = models.CharField(max_length=80)
    device = models.CharField(max_length=40)
    made_at = models.DateTimeField()
    offset_minutes = models.SmallIntegerField()
    received_at = models.DateTimeField(auto_now_add=True)
    by = models.CharField(max_length=150)
    entry = models.ForeignKey(Entry, models.PROTECT, related_name="from_tablet", null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["premises", "key"], name="tablet_record_key")
        ]

    def __str__(self) -> str:
        return f"{self.key} from {self.device}"
