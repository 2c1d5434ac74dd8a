"""The book: entries, movements, and what is kept beside them in the same transaction."""

from django.db import models
from django.db.models import F, Q

from ledger.models.things import Designation, Lot, Period, Premises, Vessel

# One spelling of "not all zero", used by the partial indexes and by every reader: SQLite uses
# a partial index only when the condition is spelled the same.
LIVE = ~Q(amount=0, proof_gallons=0, wine_gallons=0)


def _key(model: str | type[models.Model], name: str = "+", *, null: bool = False):  # type: ignore[no-untyped-def]
    return models.ForeignKey(
        model, models.PROTECT, related_name=name, db_index=False, null=null, blank=null
    )


class Entry(models.Model):
    """One act, numbered and sealed in the order of recording."""

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="entries", db_index=False)
    number = models.PositiveBigIntegerField()
    operation = models.CharField(max_length=40)
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    period = models.ForeignKey(Period, models.PROTECT, related_name="entries")
    amends = models.ForeignKey(
        Period, models.PROTECT, related_name="amended_by", null=True, blank=True
    )
    by = models.CharField(max_length=150)
    key = models.CharField(max_length=80)
    form = models.TextField()
    document = models.CharField(max_length=60, blank=True)
    reverses = models.OneToOneField(
        "self", models.PROTECT, related_name="reversed_by", null=True, blank=True
    )
    corrects = models.ForeignKey(
        "self", models.PROTECT, related_name="corrected_by", null=True, blank=True
    )
    reason = models.CharField(max_length=400, blank=True)
    seal = models.CharField(max_length=64)

    class Meta:
        verbose_name_plural = "entries"
        constraints = [
            models.UniqueConstraint(fields=["premises", "number"], name="entry_number_unique"),
            models.UniqueConstraint(fields=["premises", "key"], name="entry_key_unique"),
        ]
        indexes = [
            models.Index(fields=["premises", "happened_at", "number"], name="entry_happened"),
            models.Index(fields=["premises", "operation", "number"], name="entry_operation"),
        ]
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"№ {self.number}"


class Movement(models.Model):
    """One leg: from a place to a place, three whole numbers each conserved by itself."""

    entry = models.ForeignKey(Entry, models.PROTECT, related_name="movements", db_index=False)
    leg = models.PositiveSmallIntegerField()
    period = _key(Period)
    amends = _key(Period, null=True)
    at = models.DateTimeField()
    from_account = models.CharField(max_length=20)
    from_lot = _key(Lot, "movements_out", null=True)
    from_vessel = _key(Vessel, "movements_out", null=True)
    to_account = models.CharField(max_length=20)
    to_lot = _key(Lot, "movements_in", null=True)
    to_vessel = _key(Vessel, "movements_in", null=True)
    purpose = models.CharField(max_length=20)
    amount = models.BigIntegerField()
    wine_gallons = models.BigIntegerField()
    proof_gallons = models.BigIntegerField()
    proof = models.PositiveIntegerField(null=True)
    from_designation = _key(Designation, null=True)
    to_designation = _key(Designation, null=True)
    from_vessel_kind = models.CharField(max_length=20, blank=True)
    to_vessel_kind = models.CharField(max_length=20, blank=True)
    cooperage = models.CharField(max_length=10, blank=True)
    taxed = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["entry", "leg"], name="movement_leg_unique"),
            models.CheckConstraint(condition=LIVE, name="movement_moves_something"),
        ]
        indexes = [
            models.Index(fields=["period"], name="movement_period"),
            models.Index(
                fields=["amends"], name="movement_amends", condition=Q(amends__isnull=False)
            ),
            models.Index(fields=["from_lot", "at"], name="movement_from_lot"),
            models.Index(fields=["to_lot", "at"], name="movement_to_lot"),
            models.Index(
                fields=["from_vessel", "at"],
                name="movement_from_vessel",
                condition=Q(from_vessel__isnull=False),
            ),
            models.Index(
                fields=["to_vessel", "at"],
                name="movement_to_vessel",
                condition=Q(to_vessel__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.entry_id}.{self.leg}"


class Holding(models.Model):
    """How much of which lot is in which vessel in which account now."""

    premises = models.ForeignKey(Premises, models.PROTECT, db_index=False)
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="holdings", db_index=False)
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="holdings", db_index=False)
    account = models.CharField(max_length=20)
    amount = models.BigIntegerField(default=0)
    wine_gallons = models.BigIntegerField(default=0)
    proof_gallons = models.BigIntegerField(default=0)
    since = models.DateTimeField()
    last_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["lot", "vessel", "account"], name="holding_unique"),
            models.CheckConstraint(
                condition=Q(amount__gte=0, wine_gallons__gte=0, proof_gallons__gte=0),
                name="holding_never_negative",
            ),
        ]
        indexes = [
            models.Index(
                fields=["premises", "account", "lot"], name="holding_live", condition=LIVE
            ),
            models.Index(fields=["vessel"], name="holding_live_vessel", condition=LIVE),
        ]

    def __str__(self) -> str:
        return f"{self.lot_id} in {self.vessel_id} ({self.account})"


class Descent(models.Model):
    """How much of a child lot came from a parent lot: the whole trace is one query over it."""

    parent = models.ForeignKey(Lot, models.PROTECT, related_name="children", db_index=False)
    child = models.ForeignKey(Lot, models.PROTECT, related_name="parents", db_index=False)
    amount = models.BigIntegerField(default=0)
    wine_gallons = models.BigIntegerField(default=0)
    proof_gallons = models.BigIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["child", "parent"], name="descent_unique"),
            models.CheckConstraint(
                condition=Q(parent_id__lt=F("child_id")), name="descent_from_older"
            ),
        ]
        indexes = [models.Index(fields=["parent", "child"], name="descent_down")]

    def __str__(self) -> str:
        return f"{self.parent_id} → {self.child_id}"


class FlowTotal(models.Model):
    """A closed month's sums for one flow, and the running sums up to and including it."""

    period = models.ForeignKey(Period, models.PROTECT, related_name="totals")
    from_account = models.CharField(max_length=20)
    to_account = models.CharField(max_length=20)
    purpose = models.CharField(max_length=20)
    from_designation = _key(Designation, null=True)
    to_designation = _key(Designation, null=True)
    cooperage = models.CharField(max_length=10, blank=True)
    taxed = models.BooleanField(default=False)
    amount = models.BigIntegerField(default=0)
    wine_gallons = models.BigIntegerField(default=0)
    proof_gallons = models.BigIntegerField(default=0)
    run_amount = models.BigIntegerField(default=0)
    run_wine_gallons = models.BigIntegerField(default=0)
    run_proof_gallons = models.BigIntegerField(default=0)

    KEY = (
        "from_account", "to_account", "purpose", "from_designation", "to_designation",
        "cooperage", "taxed",
    )  # fmt: skip

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=[
                    "period", "from_account", "to_account", "purpose", "from_designation",
                    "to_designation", "cooperage", "taxed",
                ],
                name="flow_total_unique",
            )
        ]  # fmt: skip

    def __str__(self) -> str:
        return f"{self.period} {self.from_account} → {self.to_account} ({self.purpose})"
