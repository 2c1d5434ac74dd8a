"""The plant's own settings: address, units on its screens, and rules that carry a date."""

from datetime import date
from decimal import Decimal, InvalidOperation

from django.core.exceptions import ValidationError
from django.core.validators import RegexValidator
from django.db import models

from ledger.models import Premises


class Plant(models.Model):
    """One to one with the premises: what papers and screens need beside the book."""

    premises = models.OneToOneField(Premises, models.CASCADE, related_name="plant")
    proprietor = models.CharField(max_length=120, blank=True)
    address = models.CharField(max_length=200, blank=True)
    state = models.CharField(
        "State", max_length=2, blank=True, default="",
        validators=[RegexValidator(r"^[A-Z]{2}\Z", "Use the two letters of the State, like OR.")],
        help_text="two letters; the State of the plant's own tasting room and shop",
    )  # fmt: skip
    ein = models.CharField("EIN", max_length=20, blank=True)
    temperature_unit = models.CharField(
        max_length=1, choices=[("F", "°F"), ("C", "°C")], default="F"
    )
    gravity_unit = models.CharField(
        max_length=2, choices=[("SG", "SG"), ("Bx", "°Bx"), ("P", "°P")], default="SG",
        help_text="in which gravities of washes are shown; any of them can be typed",
    )  # fmt: skip

    def __str__(self) -> str:
        return self.premises.name


class DatedSetting(models.Model):
    """A rule the plant follows from a date on; the newest row not after the day applies."""

    class Name(models.TextChoices):
        GAUGE_STEP = "gauge_step", "proof gallons of a production or package gauge to the nearest"
        RETURN_PERIOD = "return_period", "tax return: annual, quarterly or semimonthly"
        PAYS_BY_TRANSFER = "pays_by_transfer", "tax must be paid by electronic transfer"
        TAX_BASIS = "tax_basis", "tax is figured by document or by day"
        SHORTAGE_ON = "shortage_on", "a bottled shortage stands on line 9 or in Schedule A"
        REDUCED_SHARE = "reduced_share", "proof gallons a year at the lowest rate (group's share)"
        CONTENT_CREDIT = "content_credit", "credit for wine and flavor content"
        REDISTILLED = "redistilled", "spirits redistilled in processing on 5110.28: net or gross"
        CHECK_MINUTES = "check_minutes", "minutes from one bottle check to the next, 0 for none"
        CHECK_BOTTLES = "check_bottles", "bottles from one bottle check to the next, 0 for none"
        STILL_MINUTES = "still_minutes", "minutes from one still reading to the next, 0 for none"
        FERMENT_HOURS = "ferment_hours", "hours from one ferment reading to the next, 0 for none"
        LOCK_MINUTES = "lock_minutes", "minutes until a shared tablet locks, 0 for never"

    # What holds where the plant has set nothing. gauge_step: 27 CFR 19.289(d); tax_basis:
    # 19.611, 19.612; reduced_share: 26 U.S.C. 5001(c)(1); the others are the careful choice.
    DEFAULTS = {
        Name.GAUGE_STEP: "0.1",
        Name.RETURN_PERIOD: "quarterly",
        Name.PAYS_BY_TRANSFER: "no",
        Name.TAX_BASIS: "document",
        Name.SHORTAGE_ON: "schedule_a",
        Name.REDUCED_SHARE: "100000",
        Name.CONTENT_CREDIT: "off",
        Name.REDISTILLED: "net",
        Name.CHECK_MINUTES: "0",  # 27 CFR 19.356(a) prescribes no interval
        Name.CHECK_BOTTLES: "0",
        # A still every 10 to 30 minutes, a ferment twice a day: common practice, no source.
        Name.STILL_MINUTES: "15",
        Name.FERMENT_HOURS: "12",
        Name.LOCK_MINUTES: "10",  # common practice, no source
    }
    # The values a rule knows; one that is not here takes a number.
    CHOICES = {
        Name.GAUGE_STEP: ("0.1", "0.01"),
        Name.RETURN_PERIOD: ("annual", "quarterly", "semimonthly"),
        Name.PAYS_BY_TRANSFER: ("no", "yes"),
        Name.TAX_BASIS: ("document", "day"),
        Name.SHORTAGE_ON: ("schedule_a", "line_9"),
        Name.CONTENT_CREDIT: ("off", "batch", "standard", "average"),
        Name.REDISTILLED: ("net", "gross"),
    }

    premises = models.ForeignKey(Premises, models.CASCADE, related_name="settings")
    name = models.CharField(max_length=40, choices=Name.choices)
    value = models.CharField(max_length=20)
    effective = models.DateField(help_text="the first day it applies")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["premises", "name", "effective"], name="setting_unique")
        ]
        ordering = ["name", "-effective"]

    def __str__(self) -> str:
        return f"{self.name} = {self.value} from {self.effective}"

    def clean(self) -> None:
        """Refuse a value that the rule does not know."""
        if not self.name:
            return
        known = self.CHOICES.get(self.Name(self.name))
        if known and self.value not in known:
            raise ValidationError({"value": f"One of: {', '.join(known)}."})
        if not known and not _is_number(self.value):
            raise ValidationError({"value": "Give a number, like 100000."})

    @classmethod
    def value_on(cls, premises: Premises, name: str, day: object) -> str:
        """The value of *name* that applies at *premises* on *day*."""
        rows = cls.objects.filter(premises=premises, name=name, effective__lte=day)
        row = rows.order_by("-effective").first()
        return row.value if row else cls.DEFAULTS[cls.Name(name)]

    @classmethod
    def all_of(cls, premises: Premises) -> "Rulebook":
        """Every dated rule of *premises*, for readings that ask on many days; one query."""
        rows = cls.objects.filter(premises=premises).order_by("effective")
        return Rulebook([(row.name, row.effective, row.value) for row in rows])


class Rulebook:
    """All dated rules of one plant, read once."""

    def __init__(self, rows: list[tuple[str, date, str]]) -> None:
        self._rows = rows

    def value_on(self, name: str, day: date) -> str:
        """The value of *name* that applies on *day*."""
        found = [value for rule, since, value in self._rows if rule == name and since <= day]
        return found[-1] if found else DatedSetting.DEFAULTS[DatedSetting.Name(name)]

    def days_of(self, name: str) -> list[date]:
        """The days on which *name* changes, oldest first."""
        return [since for rule, since, _ in self._rows if rule == name]


def _is_number(text: str) -> bool:
    try:
        return Decimal(text) >= 0
    except InvalidOperation:
        return False
