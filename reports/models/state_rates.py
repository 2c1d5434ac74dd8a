"""Rates of State excise on spirits, dated: what a worksheet by destination State is figured by."""

from datetime import date
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q, QuerySet

from ledger.classes import FAMILIES
from ledger.models import Premises
from reports.state_names import CHOICES, name_of


class StateRate(models.Model):
    """One rate of one State. A row without premises came with the program and serves every plant.

    Where a plant has a row of its own for a State on a day, none of the shared ones is used for
    that State. A rate is changed by ending a row and adding one, so that earlier days keep theirs.
    """

    class Basis(models.TextChoices):
        WINE_GALLON = "wine_gallon", "wine gallon"
        LITER = "liter", "liter"
        PACKAGE = "package", "package"

    class Every(models.TextChoices):
        MONTH = "month", "month"
        QUARTER = "quarter", "quarter"

    premises = models.ForeignKey(
        Premises, models.CASCADE, related_name="state_rates", null=True, blank=True
    )
    state = models.CharField("State", max_length=2, choices=CHOICES)
    family = models.CharField(
        "kind of spirits", max_length=10, blank=True, choices=[(f, f) for f in FAMILIES],
        help_text="empty: all spirits",
    )  # fmt: skip
    over_proof = models.DecimalField(
        "over, proof", max_digits=4, decimal_places=1, null=True, blank=True
    )
    through_proof = models.DecimalField(
        "up to and with, proof", max_digits=4, decimal_places=1, null=True, blank=True
    )
    basis = models.CharField("for each", max_length=12, choices=Basis.choices)
    rate = models.DecimalField(
        "dollars", max_digits=9, decimal_places=4, validators=[MinValueValidator(Decimal(0))]
    )
    minimum = models.DecimalField(
        "at least, dollars a package", max_digits=7, decimal_places=4, null=True, blank=True
    )
    minimum_through_ml = models.DecimalField(
        "that least for packages up to, mL", max_digits=7, decimal_places=2, null=True, blank=True,
        help_text="empty: for every package",
    )  # fmt: skip
    effective = models.DateField("from", help_text="the first day it applies")
    until = models.DateField(
        "to", null=True, blank=True, help_text="the last day it applies; empty while it runs"
    )
    every = models.CharField(
        "reported each", max_length=8, choices=Every.choices, default=Every.MONTH
    )
    filing_day = models.PositiveSmallIntegerField(
        "due on this day of the month after", null=True, blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(28)], help_text="empty: not known here",
    )  # fmt: skip
    payer = models.CharField("who pays", max_length=120, blank=True)
    source = models.CharField("law or page, and when it was read", max_length=300)

    class Meta:
        ordering = ["state", "effective", "over_proof", "pk"]

    def __str__(self) -> str:
        return f"{name_of(self.state)}: {self.words}"

    def clean(self) -> None:
        """Refuse a band or a span that is empty."""
        low, high = self.over_proof, self.through_proof
        if low is not None and high is not None and low >= high:
            raise ValidationError({"through_proof": "Give a proof above the lower one."})
        if self.effective and self.until and self.until < self.effective:
            raise ValidationError({"until": "It ends before it begins."})

    @property
    def band(self) -> str:
        """Which spirits it is for, in words."""
        parts = [
            self.family or "spirits",
            f"over {self.over_proof.normalize():f} proof" if self.over_proof is not None else "",
            f"to {self.through_proof.normalize():f} proof"
            if self.through_proof is not None
            else "",
        ]
        return ", ".join(part for part in parts if part)

    @property
    def words(self) -> str:
        """The rate in words: ``$3.30 a wine gallon, spirits, to 100 proof``."""
        return f"${_plain(self.rate)} a {self.get_basis_display()}, {self.band}"

    def fits(self, family: str, proof: Decimal) -> bool:
        """Whether it is the rate of spirits of *family* at *proof*."""
        return (
            self.family in ("", family)
            and (self.over_proof is None or proof > self.over_proof)
            and (self.through_proof is None or proof <= self.through_proof)
        )

    def holds(self, day: date) -> bool:
        """Whether it applies on *day*."""
        return self.effective <= day and (self.until is None or day <= self.until)

    @classmethod
    def of(cls, premises: Premises) -> QuerySet["StateRate"]:
        """The plant's own rates and the shared ones."""
        return cls.objects.filter(Q(premises=premises) | Q(premises=None))


def _plain(value: Decimal) -> str:
    """Dollars with two places, or as many as it has: ``3.30``, ``0.6026``."""
    return str(value.quantize(Decimal("0.01")) if value == round(value, 2) else value.normalize())
