"""Vessels with their sheets; barrels one by one or many at once."""

from typing import Any

from django.contrib import admin, messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.template.response import TemplateResponse
from django.urls import URLPattern, path, reverse

from distillery.admin.barrels import BarrelsForm
from distillery.admin.owning import OfOwnPlants, OwnersOnly, is_owner, plants_of
from distillery.admin.strapping import StrappingInline
from distillery.models import Barrel, VesselSheet
from ledger.models import Vessel


class SheetInline(OwnersOnly, admin.StackedInline):
    """Place and size."""

    model = VesselSheet
    can_delete = False


class BarrelInline(OwnersOnly, admin.StackedInline):
    """Cooperage."""

    model = Barrel
    can_delete = False


@admin.register(Vessel)
class VesselAdmin(OfOwnPlants, admin.ModelAdmin):
    """A vessel's code and kind are in the seals: set once."""

    fixed = ("premises", "code", "kind")
    list_display = ("code", "kind", "title", "room", "capacity")
    list_filter = ("kind",)
    list_select_related = ("sheet",)
    search_fields = ("code",)
    ordering = ("code",)
    inlines = (SheetInline, BarrelInline, StrappingInline)

    def get_inlines(self, request: HttpRequest, obj: Vessel | None) -> Any:
        """Cooperage for a barrel, strappings for what else exists; new barrels: add_barrels."""
        if obj is None:
            return (SheetInline,)
        return (SheetInline, BarrelInline if obj.kind == "barrel" else StrappingInline)

    def get_form(self, request: Any, obj: Any = None, change: bool = False, **options: Any) -> Any:
        """A single new vessel is no barrel: barrels come with their cooperage."""
        form = super().get_form(request, obj, change=change, **options)
        if obj is None:
            kinds = [pair for pair in Vessel.Kind.choices if pair[0] != "barrel"]
            form.base_fields["kind"].choices = kinds  # type: ignore[attr-defined]
        return form

    @admin.display(description="title")
    def title(self, vessel: Vessel) -> str:
        """The name on the floor."""
        return getattr(sheet_of(vessel), "title", "")

    @admin.display(description="room")
    def room(self, vessel: Vessel) -> str:
        """Where it stands."""
        return getattr(sheet_of(vessel), "room", "")

    @admin.display(description="capacity, gallons")
    def capacity(self, vessel: Vessel) -> Any:
        """Its size."""
        return getattr(sheet_of(vessel), "capacity_gal", None)

    def get_urls(self) -> list[URLPattern]:
        """The page that adds many barrels."""
        view = self.admin_site.admin_view(self.add_barrels)
        return [path("barrels/", view, name="ledger_vessel_barrels"), *super().get_urls()]

    def add_barrels(self, request: HttpRequest) -> HttpResponse:
        """Many barrels alike, numbered on from the first."""
        if not is_owner(request):
            raise PermissionDenied
        form = BarrelsForm(request.POST or None, plants=plants_of(request))
        if request.method == "POST" and form.is_valid():
            made = form.save()
            messages.success(request, f"{len(made)} barrels added: {made[0]} to {made[-1]}.")
            return HttpResponseRedirect(reverse("admin:ledger_vessel_changelist"))
        context = {
            **self.admin_site.each_context(request),
            "title": "Add barrels",
            "form": form,
            "opts": Vessel._meta,
        }
        return TemplateResponse(request, "admin/ledger/vessel/barrels.html", context)


def sheet_of(vessel: Vessel) -> VesselSheet | None:
    """The vessel's sheet, if it has one."""
    return getattr(vessel, "sheet", None)
