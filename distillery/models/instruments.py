"""What the plant measures with: spindles, thermometers, scales and meters, and their tests."""

from typing import Any

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q

from ledger.models import Premises
from ledger.models.things import CODE


class Instrument(models.Model):
    """One instrument. ``low``, ``high`` and ``graduation`` are in the unit of its kind (UNITS)."""

    class Kind(models.TextChoices):
        HYDROMETER = "hydrometer", "hydrometer, proof"
        THERMOMETER = "thermometer", "thermometer, °F"
        SCALE = "scale", "scale, pounds"
        METER = "meter", "meter, gallons"
        DENSITY_METER = "density_meter", "density meter, g/cm³"

    UNITS = {
        Kind.HYDROMETER: "proof", Kind.THERMOMETER: "°F", Kind.SCALE: "lb", Kind.METER: "gal",
        Kind.DENSITY_METER: "g/cm³",
    }  # fmt: skip
    # At least this often by law: scales 27 CFR 19.186, meters 27 CFR 19.188.
    LAW_MONTHS = {Kind.SCALE: 6, Kind.METER: 6}
    # The law says "frequently" for the others (27 CFR 19.188); a year is common practice.
    PRACTICE_MONTHS = 12

    premises = models.ForeignKey(Premises, models.CASCADE, related_name="instruments")
    code = models.CharField(max_length=40, validators=[CODE])
    kind = models.CharField(max_length=13, choices=Kind.choices)
    low = models.DecimalField("reads from", max_digits=12, decimal_places=5)
    high = models.DecimalField("reads to", max_digits=12, decimal_places=5)
    graduation = models.DecimalField(max_digits=10, decimal_places=5, null=True, blank=True)
    last_tested = models.DateField("last test", null=True, blank=True)
    test_months = models.PositiveSmallIntegerField(
        "months between tests", null=True, blank=True,
        help_text="empty: 6 for scales and meters, 12 for the others",
    )  # fmt: skip
    certificate = models.CharField("certificate number", max_length=60, blank=True)
    is_retired = models.BooleanField("out of use", default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["premises", "code"], name="instrument_code_unique"),
            models.CheckConstraint(
                condition=Q(low__lt=F("high")), name="instrument_low_below_high"
            ),
        ]
        ordering = ["kind", "code"]

    def __str__(self) -> str:
        return self.code

    @property
    def unit(self) -> str:
        """The unit it reads in."""
        return self.UNITS[self.Kind(self.kind)]

    @property
    def months_between_tests(self) -> int:
        """The plant's own interval, else what the law or practice asks of its kind."""
        asked = self.LAW_MONTHS.get(self.Kind(self.kind), self.PRACTICE_MONTHS)
        return self.test_months or asked

    def clean(self) -> None:
        """Refuse a range upside down, and an interval the law does not allow."""
        wrong: dict[str, Any] = {}
        if self.low is not None and self.high is not None and self.low >= self.high:
            wrong["high"] = "Give more than where it reads from."
        if self.graduation is not None and self.graduation <= 0:
            wrong["graduation"] = "Give more than nothing, or leave it empty."
        if self.test_months == 0:
            wrong["test_months"] = "Give at least 1, or leave it empty."
        most = self.LAW_MONTHS.get(self.kind)  # type: ignore[call-overload]
        if most and self.test_months and self.test_months > most:
            wrong["test_months"] = f"The law asks for a test at least every {most} months."
        if wrong:
            raise ValidationError(wrong)


class InstrumentCorrection(models.Model):
    """What its certificate adds to a reading; between two rows it is interpolated."""

    instrument = models.ForeignKey(Instrument, models.CASCADE, related_name="corrections")
    at = models.DecimalField("at the reading", max_digits=12, decimal_places=5)
    add = models.DecimalField(max_digits=10, decimal_places=5, help_text="below zero to take off")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["instrument", "at"], name="correction_reading_unique")
        ]
        ordering = ["instrument", "at"]

    def __str__(self) -> str:
        return f"at {self.at.normalize():f}, {self.add.normalize():+f}"
