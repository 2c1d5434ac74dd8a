"""The slips of an entry as they were at its posting: how each figure was found."""

from collections.abc import Sequence
from json import dumps, loads

from django.db import models

from ledger.models import Entry
from ledger.plan import Slip


class KeptSlip(models.Model):
    """One slip of an entry, kept as text to be read again; nothing is ever summed from it.

    Rows are written with their entry and not changed afterwards. ``content`` is one JSON object
    with ``readings`` and ``result`` as pairs of texts and ``steps`` as texts.
    """

    entry = models.ForeignKey(Entry, models.PROTECT, related_name="kept_slips", db_index=False)
    order = models.PositiveSmallIntegerField()
    title = models.CharField(max_length=120)
    content = models.TextField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["entry", "order"], name="kept_slip_order_unique")
        ]
        ordering = ["entry", "order"]

    def __str__(self) -> str:
        return self.title

    @staticmethod
    def keep(entry: Entry, slips: Sequence[Slip]) -> None:
        """Keep *slips* in their order, in one statement; inside the entry's transaction."""
        if slips:
            KeptSlip.objects.bulk_create(
                KeptSlip(entry=entry, order=order, title=slip.title, content=_content(slip))
                for order, slip in enumerate(slips, start=1)
            )

    @staticmethod
    def of_entry(entry: Entry) -> list[Slip]:
        """The slips of *entry* in their order, in one query."""
        return [row.slip for row in KeptSlip.objects.filter(entry=entry).order_by("order")]

    @property
    def slip(self) -> Slip:
        """The slip as it was shown before posting."""
        told = loads(self.content)
        return Slip(
            self.title,
            tuple((name, value) for name, value in told["readings"]),
            tuple(told["steps"]),
            tuple((name, value) for name, value in told["result"]),
        )


def _content(slip: Slip) -> str:
    told = {"readings": slip.readings, "steps": slip.steps, "result": slip.result}
    return dumps(told, sort_keys=True, ensure_ascii=False)
