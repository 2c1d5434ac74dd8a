"""Notices given to the authority, each kept with the entry that recorded it."""

from datetime import date

from django.db import models

from ledger.models import Entry, Premises


class Notice(models.Model):
    """One notice: what about, when given and how, and from when to when it counts.

    A notice is never edited: its entry is taken back, which leaves the row void, and recorded
    rightly.
    """

    class Kind(models.TextChoices):
        SUSPENSION = "suspension", "production is suspended (19.292)"
        RESUMPTION = "resumption", "production is taken up again (19.292)"
        INVENTORY = "inventory", "inventory of bottled goods on a day (19.372)"
        CASE_SERIES = "case-series", "case numbers begin a new series (19.490)"
        RECORDS_ELSEWHERE = "records-elsewhere", "records are kept elsewhere (19.573)"
        MISSING_PACKAGES = "missing-packages", "packages are missing (19.462(c))"
        LOSS_IN_TRANSIT = "loss-in-transit", "loss in transit above one per cent (19.462(d))"
        THEFT = "theft", "theft or tampering (19.462(b))"
        BROKEN_SEALS = "broken-seals", "seals came broken"
        OTHER = "other", "something else"

    class How(models.TextChoices):
        LETTER = "letter", "letter"
        EMAIL = "e-mail", "e-mail"
        PORTAL = "portal", "the authority's own website"
        FAX = "fax", "fax"
        SPOKEN = "spoken", "by word of mouth"

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="notices")
    entry = models.OneToOneField(Entry, models.PROTECT, related_name="notice")
    kind = models.CharField(max_length=20, choices=Kind.choices)
    given_on = models.DateField()
    effective_from = models.DateField()
    effective_to = models.DateField(null=True, blank=True)
    how = models.CharField(max_length=10, choices=How.choices)
    reference = models.CharField(max_length=80, blank=True)
    text = models.CharField(max_length=400, blank=True)
    is_void = models.BooleanField(default=False)

    class Meta:
        ordering = ["-given_on", "-pk"]
        indexes = [models.Index(fields=["premises", "kind", "effective_from"], name="notice_kind")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.given_on}"

    def counts_on(self, day: date) -> bool:
        """Whether *day* lies in the time the notice is about."""
        return self.effective_from <= day and (
            self.effective_to is None or day <= self.effective_to
        )
