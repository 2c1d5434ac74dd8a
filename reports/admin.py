"""State rates in the set-up: an owner adds the plant's own, and looks at the shared ones."""

from typing import Any

from django.contrib import admin
from django.db.models import Q, QuerySet
from django.http import HttpRequest

from distillery.admin.owning import OfOwnPlants, plants_of
from reports.models import StateRate


@admin.register(StateRate)
class StateRateAdmin(OfOwnPlants, admin.ModelAdmin):
    """A rate is changed by ending its row and adding one, so that earlier months keep theirs.

    The plant's own rows for a State are used instead of all the shared ones.
    """

    fixed = (
        "premises", "state", "family", "over_proof", "through_proof", "basis", "rate", "minimum",
        "minimum_through_ml", "effective",
    )  # fmt: skip
    list_display = (
        "state", "words", "effective", "until", "every", "filing_day", "payer", "premises", "source"
    )  # fmt: skip
    list_filter = ("state",)

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        """Rows of the person's own plants, and the shared ones to look at."""
        rows = StateRate.objects.all()
        if request.user.is_superuser:
            return rows
        return rows.filter(Q(premises__in=plants_of(request)) | Q(premises=None))

    def _may(self, request: HttpRequest, obj: Any, *, asked: bool) -> bool:
        """Whether the person may change *obj*: a shared row is for a superuser."""
        is_shared = obj is not None and obj.premises_id is None
        return asked and (not is_shared or request.user.is_superuser)

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Owners, their own rows."""
        return self._may(request, obj, asked=super().has_change_permission(request, obj))

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Owners, their own rows; what was filed by it keeps its figures."""
        return self._may(request, obj, asked=super().has_delete_permission(request, obj))

    def get_form(
        self, request: HttpRequest, obj: Any = None, change: bool = False, **options: Any
    ) -> Any:
        """An owner's row belongs to a plant; only a superuser adds a shared one."""
        form = super().get_form(request, obj, change, **options)
        if "premises" in form.base_fields:
            form.base_fields["premises"].required = not request.user.is_superuser
        return form
