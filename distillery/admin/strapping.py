"""Strappings: a shape on the vessel's page, the rows of a table on a page of their own."""

from typing import Any

from django.contrib import admin
from django.http import HttpRequest

from distillery.admin.owning import OfOwnPlants, OwnersOnly
from distillery.models import StrappingRow, StrappingTable


class StrappingInline(OwnersOnly, admin.StackedInline):
    """Which volume stands at which depth: the shape here, rows by the link to the strapping."""

    model = StrappingTable
    extra = 0
    show_change_link = True


class RowInline(OwnersOnly, admin.TabularInline):
    """One depth and its gallons a row."""

    model = StrappingRow
    extra = 5


@admin.register(StrappingTable)
class StrappingTableAdmin(OfOwnPlants, admin.ModelAdmin):
    """The rows of a strapping; a strapping begins on its vessel's page."""

    to_premises = "vessel__premises"
    fixed = ("vessel",)
    list_display = ("vessel", "shape", "source", "effective")
    list_select_related = ("vessel",)
    ordering = ("vessel", "-effective")
    inlines = (RowInline,)

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Not here: the vessel's page knows whose vessel it is."""
        return False
