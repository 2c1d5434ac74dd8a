"""What the book speaks of: the plant, its vessels, its lots, its months."""

from zoneinfo import ZoneInfo, available_timezones

from django.core.exceptions import ValidationError
from django.core.validators import RegexValidator
from django.db import models

CODE = RegexValidator(
    r"^[A-Za-z0-9][A-Za-z0-9 ._/-]{0,39}\Z",
    "Use letters, digits, space, dot, dash, slash or underscore, 40 at most, like FV-2.",
)


def known_zone(name: str) -> None:
    """Refuse a time zone the system does not know."""
    if name not in available_timezones():
        raise ValidationError("Give a time zone like America/New_York.")


class Premises(models.Model):
    """One registered plant. Posting locks this row; it keeps the last number and the last seal."""

    registry = models.CharField(
        "registry number",
        max_length=20,
        unique=True,
        validators=[RegexValidator(r"^DSP-[A-Z]{2}-[0-9]{1,5}\Z", "Write it like DSP-XX-12345.")],
    )
    name = models.CharField(max_length=120)
    time_zone = models.CharField(max_length=64, default="America/New_York", validators=[known_zone])
    last_number = models.PositiveBigIntegerField(default=0, editable=False)
    last_seal = models.CharField(max_length=64, default="", editable=False, blank=True)
    last_happened_at = models.DateTimeField(null=True, editable=False)
    closed_through = models.DateField(null=True, editable=False)

    class Meta:
        verbose_name_plural = "premises"

    def __str__(self) -> str:
        return f"{self.name} ({self.registry})"

    @property
    def zone(self) -> ZoneInfo:
        """The plant's own time zone, in which business dates and months are told."""
        return ZoneInfo(self.time_zone)


class Vessel(models.Model):
    """Anything that holds. Its code never changes: it is in the seals."""

    class Kind(models.TextChoices):
        BIN = "bin", "bin or shelf"
        TUN = "tun", "mash tun"
        FERMENTER = "fermenter", "fermenter"
        STILL = "still", "still"
        RECEIVER = "receiver", "receiver"
        TANK = "tank", "tank"
        TOTE = "tote", "tote"
        BARREL = "barrel", "barrel"
        BOTTLING_TANK = "bottling_tank", "bottling tank"
        STORE = "store", "case store"

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="vessels")
    code = models.CharField(max_length=40, validators=[CODE])
    kind = models.CharField(max_length=20, choices=Kind.choices)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["premises", "code"], name="vessel_code_unique")
        ]
        ordering = ["premises", "code"]

    def __str__(self) -> str:
        return self.code


class Designation(models.Model):
    """What a lot counts as on any report, interned: one row for each combination in use.

    Movements carry it for both their lots, so that a month's report is one grouped query
    without a join. Rows are never changed.
    """

    class_code = models.CharField(max_length=20, blank=True)
    type_code = models.CharField(max_length=40, blank=True)
    source = models.CharField(max_length=20, default="domestic")
    form = models.CharField(max_length=10, blank=True)
    material = models.CharField(max_length=20, blank=True)
    redistilled = models.BooleanField(default=False)
    reduced_rate = models.BooleanField(default=True)

    FACTS = (
        "class_code", "type_code", "source", "form", "material", "redistilled", "reduced_rate",
    )  # fmt: skip

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=[
                    "class_code", "type_code", "source", "form", "material", "redistilled",
                    "reduced_rate",
                ],
                name="designation_unique",
            )
        ]  # fmt: skip

    def __str__(self) -> str:
        words = [self.class_code, self.type_code, self.source, self.form]
        return " · ".join(word for word in words if word)


class Lot(models.Model):
    """A quantity of one identity. Every column is frozen and sealed in the entry that opens it."""

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="lots")
    code = models.CharField(max_length=60)
    opened_by = models.ForeignKey("ledger.Entry", models.PROTECT, related_name="lots_opened")
    designation = models.ForeignKey(Designation, models.PROTECT, db_index=False)
    stage = models.CharField(max_length=20)
    unit = models.CharField(max_length=10)
    name = models.CharField(max_length=80)
    distilled_at = models.PositiveIntegerField(null=True)
    aged_from = models.DateField(null=True)
    producer = models.CharField(max_length=120, blank=True)
    state = models.CharField(max_length=40, blank=True)
    product = models.CharField(max_length=80, blank=True)
    bottle_ml = models.PositiveIntegerField(null=True)
    per_case = models.PositiveIntegerField(null=True)
    label_proof = models.PositiveIntegerField(null=True)
    # Time in wood: what it stands in since aged_from, and the spells it had before.
    wood = models.CharField(max_length=6, blank=True, default="")
    aged_new = models.CharField(max_length=20, blank=True, default="")
    aged_other = models.CharField(max_length=20, blank=True, default="")
    formula = models.CharField(max_length=40, blank=True, default="")
    owner = models.CharField(max_length=120, blank=True, default="")

    # In the order of sealing. What came later is sealed by name and only where it is set, so
    # that a book begun before it keeps its seals.
    FIRST_FACTS = (
        "stage", "unit", "name", "distilled_at", "aged_from", "producer", "state", "product",
        "bottle_ml", "per_case", "label_proof",
    )  # fmt: skip
    LATER_FACTS = ("wood", "aged_new", "aged_other", "formula", "owner")
    FACTS = FIRST_FACTS + LATER_FACTS

    class Meta:
        constraints = [models.UniqueConstraint(fields=["premises", "code"], name="lot_code_unique")]

    def __str__(self) -> str:
        return self.code


class Period(models.Model):
    """A calendar month of one premises."""

    class State(models.TextChoices):
        OPEN = "open", "open"
        CLOSED = "closed", "closed"
        FILED = "filed", "filed"

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="periods")
    month = models.DateField(help_text="first day of the month")
    state = models.CharField(max_length=10, choices=State.choices, default=State.OPEN)
    closed_at = models.DateTimeField(null=True)
    closed_by = models.CharField(max_length=150, blank=True)
    closed_number = models.PositiveBigIntegerField(null=True)
    closed_seal = models.CharField(max_length=64, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["premises", "month"], name="period_unique"),
            models.CheckConstraint(condition=models.Q(month__day=1), name="period_first_day"),
        ]
        ordering = ["premises", "month"]

    def __str__(self) -> str:
        return f"{self.month:%Y-%m}"
