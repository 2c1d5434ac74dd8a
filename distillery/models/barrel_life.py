"""What happened to a barrel beside what went in and out of it, and what was put into spirits."""

from django.db import models

from ledger.models import Entry, Lot, Premises, Vessel


class BarrelAct(models.Model):
    """One act on one barrel, written with its entry: bought, swelled, moved, regauged, sold.

    Nothing is summed from it: ``wine_gallons`` and ``proof_gallons`` (hundredths) and ``proof``
    (tenths) are what a gauge found, beside the book. A reversed entry leaves its rows void.
    """

    class Kind(models.TextChoices):
        RECEIVED = "received", "received empty"
        SWELLED = "swelled", "swelled with water"
        PREPARED = "prepared", "steamed or soaked before filling (PS)"
        RECHARRED = "recharred", "recharred (REC)"
        REPAIRED = "repaired", "repaired"
        WEIGHED = "weighed", "weighed empty"
        MOVED = "moved", "moved"
        REGAUGED = "regauged", "regauged"
        SAMPLED = "sampled", "sampled"
        RINSED = "rinsed", "rinsed"
        LEAKING = "leaking", "leaking"
        MISSING = "missing", "missing"
        SOLD = "sold", "sold or sent away"
        RETIRED = "retired", "retired"
        BACK = "back", "back in use"

    premises = models.ForeignKey(
        Premises, models.PROTECT, related_name="barrel_acts", db_index=False
    )
    entry = models.ForeignKey(Entry, models.PROTECT, related_name="barrel_acts")
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="barrel_acts", db_index=False)
    kind = models.CharField(max_length=10, choices=Kind.choices)
    at = models.DateTimeField()
    place = models.CharField(max_length=60, blank=True)
    words = models.CharField(max_length=400, blank=True)
    gross_lb = models.DecimalField(max_digits=7, decimal_places=2, null=True)
    tare_lb = models.DecimalField(max_digits=7, decimal_places=2, null=True)
    wine_gallons = models.BigIntegerField(null=True)
    proof_gallons = models.BigIntegerField(null=True)
    proof = models.PositiveIntegerField(null=True)
    is_void = models.BooleanField(default=False)

    class Meta:
        indexes = [models.Index(fields=["vessel", "-at"], name="barrel_act_latest")]

    def __str__(self) -> str:
        return f"{self.vessel} {self.get_kind_display()}"


class LotMark(models.Model):
    """What was put into a lot and goes on its packages' heads (27 CFR 19.484)."""

    class Mark(models.TextChoices):
        OAK_CHIPS = "OC", "OC · oak chips"
        CARAMEL = "BSA", "BSA · caramel"

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="lot_marks", db_index=False)
    entry = models.ForeignKey(Entry, models.PROTECT, related_name="lot_marks")
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="marks")
    mark = models.CharField(max_length=3, choices=Mark.choices)
    words = models.CharField(max_length=200, blank=True)
    is_void = models.BooleanField(default=False)

    def __str__(self) -> str:
        return f"{self.lot} {self.mark}"
