"""The plant's approved formulas, kept for good (27 CFR 19.577)."""

from django.contrib import admin

from distillery.admin.owning import OfOwnPlants
from distillery.models import Formula


@admin.register(Formula)
class FormulaAdmin(OfOwnPlants, admin.ModelAdmin):
    """Lots in the book bear the number; one no longer in use stays on the list."""

    fixed = ("premises", "number")
    list_display = (
        "number", "name", "family", "type_code", "approved_on", "form_identity", "is_active",
    )  # fmt: skip
    list_filter = ("is_active", "family")
    search_fields = ("number", "name")
