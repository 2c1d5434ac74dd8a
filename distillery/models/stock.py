"""What the plant buys and what it makes, as lists to choose from."""

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
        OTHER = "other", "other"

    premises = models.ForeignKey(Premises, models.CASCADE, related_name="materials")
    code = models.CharField(max_length=40, validators=[CODE])
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=12, choices=Kind.choices)
    unit = models.CharField(
        max_length=5, choices=[("lb", "pounds"), ("g", "grams"), ("gal", "gallons")], default="lb"
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

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["premises", "code"], name="product_code_unique")
        ]
        ordering = ["name", "bottle_ml"]

    def __str__(self) -> str:
        return f"{self.name} {self.bottle_ml} mL"
