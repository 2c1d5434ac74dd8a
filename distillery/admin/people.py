"""People: log-in, password, and their role at the plant."""

from typing import Any

from django.contrib import admin
from django.contrib.auth import get_user_model
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.models import Group
from django.db.models import QuerySet
from django.http import HttpRequest

from distillery.admin.owning import OfOwnPlants, OwnersOnly, plants_of
from distillery.models import Membership

User = get_user_model()
admin.site.unregister(User)
admin.site.unregister(Group)  # roles are memberships; groups would be a second, dead way


class MembershipInline(OfOwnPlants, admin.StackedInline):
    """The role at each plant of the owner's."""

    model = Membership
    fixed = ()
    extra = 0
    min_num = 1
    validate_min = True


@admin.register(User)
class PersonAdmin(OwnersOnly, UserAdmin):
    """People of the owner's plants. They are made inactive, not deleted: the book names them."""

    fieldsets = (
        (None, {"fields": ("username", "password", "is_active")}),
        ("Name", {"fields": ("first_name", "last_name", "email")}),
    )
    add_fieldsets = ((None, {"fields": ("username", "password1", "password2")}),)
    list_display = ("username", "first_name", "last_name", "roles", "is_active")
    list_filter = ("is_active",)
    filter_horizontal = ()
    inlines = (MembershipInline,)

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        """Those whose every plant is the owner's, so that no owner sets another's password."""
        rows = super().get_queryset(request).prefetch_related("memberships")
        if request.user.is_superuser:
            return rows
        plants = plants_of(request)
        elsewhere = Membership.objects.exclude(premises__in=plants)
        mine = rows.filter(memberships__premises__in=plants, is_superuser=False)
        return mine.exclude(pk__in=elsewhere.values("user")).distinct()

    @admin.display(description="roles")
    def roles(self, user: Any) -> str:
        """The person's roles."""
        return ", ".join(member.role for member in user.memberships.all())

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Never: their name stands in the book."""
        return False

    def save_related(self, request: Any, form: Any, formsets: Any, change: bool) -> None:
        """An owner may open these pages, and nobody else."""
        super().save_related(request, form, formsets, change)
        person = form.instance
        owns = person.memberships.filter(role=Membership.Role.OWNER).exists()
        person.is_staff = owns or person.is_superuser
        person.save(update_fields=["is_staff"])
