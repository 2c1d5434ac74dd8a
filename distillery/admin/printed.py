"""Cells of the printed gauging tables."""

from django.contrib import admin

from distillery.admin.owning import OfOwnPlants
from distillery.models import PrintedCell


@admin.register(PrintedCell)
class PrintedCellAdmin(OfOwnPlants, admin.ModelAdmin):
    """A cell entered here wins over the computed one in every later gauge."""

    fixed = ("premises",)
    list_display = ("grid", "line", "column", "figure", "source", "is_kept_anyway")
    list_filter = ("grid",)
    search_fields = ("=line", "=column")
