"""The plant's own settings: address, units on its screens, and rules that carry a date."""

from django.core.exceptions import ValidationError
from django.db import models

from ledger.models import Premises


class Plant(models.Model):
    """One to one with the premises: what papers and screens need beside the book."""

    premises = models.OneToOneField(Premises, models.CASCADE, related_name="plant")
    proprietor = models.CharField(max_length=120, blank=True)
    address = models.CharField(max_length=200, blank=True)
    ein = models.CharField("EIN", max_length=20, blank=True)
    temperature_unit = models.CharField(
        max_length=1, choices=[("F", "°F"), ("C", "°C")], default="F"
    )

    def __str__(self) -> str:
        return self.premises.name


class DatedSetting(models.Model):
    """A rule the plant follows from a date on; the newest row not after the day applies."""

    class Name(models.TextChoices):
        GAUGE_STEP = "gauge_step", "proof gallons of a production or package gauge to the nearest"
        CHECK_MINUTES = "check_minutes", "minutes from one bottle check to the next"
        CHECK_BOTTLES = "check_bottles", "bottles from one bottle check to the next"

    # What holds where the plant has set nothing: 27 CFR 19.289(d).
    # No interval of checks is prescribed: 27 CFR 19.356(a).
    DEFAULTS = {Name.GAUGE_STEP: "0.1", Name.CHECK_MINUTES: "", Name.CHECK_BOTTLES: ""}
    WHOLE = (Name.CHECK_MINUTES, Name.CHECK_BOTTLES)
    CHOICES = {Name.GAUGE_STEP: ("0.1", "0.01")}

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
        known = self.CHOICES.get(self.Name(self.name), ()) if self.name else ()
        if known and self.value not in known:
            raise ValidationError({"value": f"One of: {', '.join(known)}."})
        whole = self.value.isascii() and self.value.isdigit() and int(self.value) > 0
        if self.name in self.WHOLE and not whole:
            raise ValidationError({"value": "Give a whole number, like 60."})

    @classmethod
    def value_on(cls, premises: Premises, name: str, day: object) -> str:
        """The value of *name* that applies at *premises* on *day*."""
        rows = cls.objects.filter(premises=premises, name=name, effective__lte=day)
        row = rows.order_by("-effective").first()
        return row.value if row else cls.DEFAULTS[cls.Name(name)]
