"""The owner's own words for a caution: each a new version, none changed or taken away."""

from typing import Any

from django import forms
from django.contrib import admin
from django.http import HttpRequest

from distillery.admin.owning import OfOwnPlants
from distillery.models import CautionWording
from distillery.safety import CAUTIONS, SEEN, TRIGGERED


def _choices() -> list[tuple[str, str]]:
    """Every caution by its title, and what is ticked by its own words."""
    told = {code: one.title for code, one in (CAUTIONS | TRIGGERED).items()}
    ticked = {code: f"To be ticked: {one.text}" for code, one in SEEN.items()}
    return sorted((told | ticked).items(), key=lambda pair: pair[1].casefold())


class WordingForm(forms.ModelForm):
    """Which caution, and its lines."""

    code = forms.ChoiceField(choices=_choices, label="Caution")

    class Meta:
        model = CautionWording
        fields = ("premises", "code", "lines")


@admin.register(CautionWording)
class CautionWordingAdmin(OfOwnPlants, admin.ModelAdmin):
    """The newest of a caution is shown; a tick's version leads to the words it was for."""

    form = WordingForm
    list_display = ("__str__", "lines", "entered_by", "entered_at")

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Records name the version that was seen: words are followed by newer ones."""
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """They stay, for the same reason."""
        return False

    def save_model(self, request: HttpRequest, obj: Any, form: Any, change: bool) -> None:
        """With whose words they are."""
        obj.entered_by = request.user.get_username()
        super().save_model(request, obj, form, change)
