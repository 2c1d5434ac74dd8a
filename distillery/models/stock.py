"""What the plant buys and what it makes, as lists to choose from."""

from django.core.validators import RegexValidator
from django.db import models

from ledger.classes import FAMILIES
from ledger.models import Premises
from ledger.models.things import CODE


class Material(models.Model):
    """A kind of material, counted by lots in the book."""

    class Kind(models.TextChoices):
        GRAIN = "grain", "grain"
        MALT = "malt", "malt"
        FRUIT = "fruit", "fruit"
        MOLASSES = "molasses", "molasses"
        YEAST = "yeast", "yeast"
        ENZYME = "enzyme", "enzyme"
        BOTANICAL = "botanical", "botanical"
        BOTTLE = "bottle", "empty bottle"
        CLOSURE = "closure", "closure"
        LABEL = "label", "label"
        SLEEVE = "sleeve", "sleeve"
        CARTON = "carton", "carton"
        OTHER = "other", "other"

    premises = models.ForeignKey(Premises, models.CASCADE, related_name="materials")
    code = models.CharField(max_length=40, validators=[CODE])
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=12, choices=Kind.choices)
    unit = models.CharField(
        max_length=5,
        choices=[("lb", "pounds"), ("g", "grams"), ("gal", "gallons"), ("each", "each")],
        default="lb",
    )
    starch_pct = models.DecimalField(
        "starch, % by weight as received", max_digits=4, decimal_places=1, null=True, blank=True,
        help_text="for the expected alcohol; leave empty when it has none",
    )  # fmt: skip

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["premises", "code"], name="material_code_unique")
        ]
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Product(models.Model):
    """Something bottled: its kind, label proof, size and papers."""

    premises = models.ForeignKey(Premises, models.CASCADE, related_name="products")
    code = models.CharField(max_length=40, validators=[CODE])
    name = models.CharField(max_length=80)
    family = models.CharField(max_length=10, choices=[(f, f) for f in FAMILIES])
    type_code = models.CharField(
        "type", max_length=40, blank=True, help_text="bourbon, rye, distilled gin …"
    )
    label_proof = models.DecimalField(max_digits=4, decimal_places=1)
    bottle_ml = models.PositiveIntegerField("bottle, mL")
    per_case = models.PositiveIntegerField("bottles a case")
    formula_no = models.CharField("formula number", max_length=40, blank=True)
    label_approval = models.CharField("label approval", max_length=40, blank=True)
    case_series = models.CharField(
        "letters of the case numbers", max_length=4, blank=True,
        validators=[RegexValidator(r"^[A-Z]{1,4}\Z", "Use one to four capital letters, like G.")],
        help_text="for a series of its own (27 CFR 19.490); empty: the plant's one series",
    )  # fmt: skip
    brimful_ml = models.PositiveIntegerField(
        "bottle filled to the brim, mL", null=True, blank=True,
        help_text="for the head space, at most 8 % from 200 mL on (27 CFR 5.202)",
    )  # fmt: skip
    tare_g = models.DecimalField(
        "empty bottle, grams", max_digits=7, decimal_places=1, null=True, blank=True,
        help_text="with what is on it when it is weighed; the mean of ten or more",
    )  # fmt: skip

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["premises", "code"], name="product_code_unique")
        ]
        ordering = ["name", "bottle_ml"]

    def __str__(self) -> str:
        return f"{self.name} {self.bottle_ml} mL"
