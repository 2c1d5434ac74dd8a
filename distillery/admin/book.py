"""The book in the admin: to look at, never to change."""

from typing import Any

from django.contrib import admin
from django.http import HttpRequest

from distillery.admin.owning import OfOwnPlants, plants_of
from distillery.models import BottleCheck, BottlingRun, CaseSerials, Reading, ReadingVoid
from ledger.models import Descent, Designation, Entry, FlowTotal, Holding, Lot, Movement, Period


class LookedAt(OfOwnPlants, admin.ModelAdmin):
    """No adding, changing or deleting; newest first; no counting of all rows for the heading."""

    fixed = ()
    ordering = ("-pk",)
    list_per_page = 50

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """The book has one door, and it is not here."""
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Nothing in the book is changed."""
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Nothing in the book is deleted."""
        return False


@admin.register(Entry)
class EntryAdmin(LookedAt):
    """One act."""

    list_display = ("number", "operation", "happened_at", "recorded_at", "by", "document")
    search_fields = ("=number", "=document")


@admin.register(Movement)
class MovementAdmin(LookedAt):
    """One leg."""

    to_premises = "entry__premises"
    list_display = (
        "entry", "leg", "from_account", "from_lot", "from_vessel", "to_account", "to_lot",
        "to_vessel", "purpose", "amount", "wine_gallons", "proof_gallons",
    )  # fmt: skip
    list_select_related = ("entry", "from_lot", "from_vessel", "to_lot", "to_vessel")
    search_fields = ("=entry__number",)


@admin.register(Lot)
class LotAdmin(LookedAt):
    """One identity."""

    list_display = ("code", "stage", "name", "designation", "opened_by")
    list_select_related = ("designation", "opened_by")
    search_fields = ("^code",)


@admin.register(Holding)
class HoldingAdmin(LookedAt):
    """How much of a lot is in a vessel."""

    list_display = ("vessel", "lot", "account", "amount", "wine_gallons", "proof_gallons", "since")
    list_select_related = ("vessel", "lot")
    search_fields = ("^lot__code", "^vessel__code")


@admin.register(Period)
class PeriodAdmin(LookedAt):
    """One month; it is closed from the filings."""

    list_display = ("month", "state", "closed_at", "closed_by", "closed_number")
    ordering = ("-month",)


@admin.register(Descent)
class DescentAdmin(LookedAt):
    """What a lot came from."""

    to_premises = "child__premises"
    list_display = ("parent", "child", "amount", "wine_gallons", "proof_gallons")
    list_select_related = ("parent", "child")
    search_fields = ("^parent__code", "^child__code")


@admin.register(FlowTotal)
class FlowTotalAdmin(LookedAt):
    """A closed month's sums."""

    to_premises = "period__premises"
    list_display = (
        "period", "from_account", "to_account", "purpose", "amount", "wine_gallons",
        "proof_gallons",
    )  # fmt: skip
    list_select_related = ("period",)


@admin.register(Designation)
class DesignationAdmin(LookedAt):
    """What lots count as; shared by all plants and of no plant."""

    list_display = ("class_code", "type_code", "source", "form", "material", "reduced_rate")

    def get_queryset(self, request: HttpRequest) -> Any:
        """Those that a lot of the person's plants bears."""
        rows = admin.ModelAdmin.get_queryset(self, request)
        lots = Lot.objects.filter(premises__in=plants_of(request))
        return rows.filter(pk__in=lots.values("designation"))


@admin.register(Reading)
class ReadingAdmin(LookedAt):
    """One look at a vessel."""

    list_display = ("vessel", "lot", "at", "gravity", "temperature_f", "ph", "proof", "by")
    list_select_related = ("vessel", "lot")


@admin.register(ReadingVoid)
class ReadingVoidAdmin(LookedAt):
    """A reading that does not count."""

    list_display = ("reading", "recorded_at", "by", "reason")
    list_select_related = ("reading__vessel",)


@admin.register(BottlingRun)
class BottlingRunAdmin(LookedAt):
    """One bottling."""

    list_display = ("serial", "vessel", "product", "lot_code", "opened_by", "closed_by", "is_void")
    list_select_related = ("vessel", "product", "opened_by", "closed_by")


@admin.register(CaseSerials)
class CaseSerialsAdmin(LookedAt):
    """Case numbers used."""

    list_display = ("product", "series", "first", "last", "remnant_bottles", "from_loose", "entry")
    list_select_related = ("product", "entry")


@admin.register(BottleCheck)
class BottleCheckAdmin(LookedAt):
    """Tests at the bottling line."""

    list_display = ("run", "kind", "at", "line", "tested", "found_proof", "is_within", "action")
    list_select_related = ("run",)
