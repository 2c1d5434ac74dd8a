"""Who may set up what: an owner sees and changes only what belongs to a plant of theirs."""

from typing import Any

from django.contrib.admin.options import BaseModelAdmin
from django.db.models import Model, QuerySet
from django.http import HttpRequest

from distillery.models import Membership
from ledger.models import Premises


def plants_of(request: HttpRequest) -> QuerySet[Premises]:
    """The plants the person owns; every plant for a superuser."""
    rows = Premises.objects.order_by("registry")
    if request.user.is_superuser:
        return rows
    return rows.filter(members__user=request.user.pk, members__role=Membership.Role.OWNER)


def is_owner(request: HttpRequest) -> bool:
    """Whether the person owns a plant; asked once a request."""
    known = getattr(request, "owns_a_plant", None)
    if known is None:
        user = request.user
        known = user.is_active and user.is_staff and plants_of(request).exists()
        request.owns_a_plant = known  # type: ignore[attr-defined]
    return bool(known)


class OwnersOnly:
    """Permissions by ownership instead of Django's own tables, for pages and inlines."""

    def has_module_permission(self, request: HttpRequest) -> bool:
        """Whether the section shows at all."""
        return is_owner(request)

    def has_view_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Owners; what *obj* may be is limited by the query."""
        return is_owner(request)

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Owners."""
        return is_owner(request)

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Owners; what *obj* may be is limited by the query."""
        return is_owner(request)

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Owners; what is in use is protected by the database."""
        return is_owner(request)


class OfOwnPlants(OwnersOnly, BaseModelAdmin):
    """Rows, and choices of plants, limited to the plants the person owns.

    ``to_premises`` is the path from the model to its premises. What is in ``fixed`` is set when
    the row is made and never again: the book and the seals speak of it by these.
    """

    to_premises = "premises"
    fixed: tuple[str, ...] = ("premises",)
    show_full_result_count = False

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        """Rows of the person's own plants."""
        rows: QuerySet[Any] = super().get_queryset(request)
        if request.user.is_superuser:
            return rows
        return rows.filter(**{f"{self.to_premises}__in": plants_of(request)})

    def get_readonly_fields(self, request: HttpRequest, obj: Model | None = None) -> Any:
        """The fixed fields of a row that exists."""
        fields = tuple(super().get_readonly_fields(request, obj))
        return (*fields, *self.fixed) if obj else fields

    def get_changeform_initial_data(self, request: HttpRequest) -> dict[str, Any]:
        """The plant is filled in when there is one."""
        first = plants_of(request).first()
        return {"premises": first.pk} if first else {}

    def formfield_for_foreignkey(self, db_field: Any, request: Any, **kwargs: Any) -> Any:
        """Only the person's own plants are offered."""
        if db_field.remote_field.model is Premises:
            kwargs["queryset"] = plants_of(request)
        return super().formfield_for_foreignkey(db_field, request, **kwargs)
