"""What the plant buys and what it makes."""

from django.contrib import admin

from distillery.admin.owning import OfOwnPlants
from distillery.models import Material, Product


@admin.register(Material)
class MaterialAdmin(OfOwnPlants, admin.ModelAdmin):
    """Lots in the book bear the code and count in the unit."""

    fixed = ("premises", "code", "unit")
    list_display = ("code", "name", "kind", "unit", "starch_pct")
    list_filter = ("kind",)
    search_fields = ("code", "name")


@admin.register(Product)
class ProductAdmin(OfOwnPlants, admin.ModelAdmin):
    """A finished lot keeps the proof, size and case it was filled with; later ones take these."""

    fixed = ("premises", "code")
    list_display = (
        "code", "name", "family", "type_code", "label_proof", "bottle_ml", "per_case",
        "case_series", "label_approval",
    )  # fmt: skip
    list_filter = ("family",)
    search_fields = ("code", "name")
