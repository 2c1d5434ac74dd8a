"""The premises with its settings, and the rules that carry a date."""

from typing import Any

from django.contrib import admin
from django.http import HttpRequest

from distillery.admin.owning import OfOwnPlants, OwnersOnly
from distillery.models import DatedSetting, Plant
from ledger.models import Premises


class PlantInline(OwnersOnly, admin.StackedInline):
    """Proprietor, address and the degrees on the screens."""

    model = Plant
    can_delete = False


@admin.register(Premises)
class PremisesAdmin(OfOwnPlants, admin.ModelAdmin):
    """Opened by manage.py open_plant; never deleted, and its registry number is in the seals."""

    to_premises = "pk"
    fixed = ("registry",)
    fields = ("registry", "name", "time_zone")
    list_display = ("registry", "name", "time_zone")
    inlines = (PlantInline,)

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """A plant is opened from the command line, with its owner."""
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """The book stays."""
        return False


@admin.register(DatedSetting)
class DatedSettingAdmin(OfOwnPlants, admin.ModelAdmin):
    """A rule is changed by a new row with its day, so that earlier months keep theirs."""

    fixed = ("premises", "name")
    list_display = ("name", "value", "effective")
    list_filter = ("name",)
