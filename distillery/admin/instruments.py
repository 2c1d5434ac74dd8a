"""The plant's instruments with their corrections and tests."""

from django.contrib import admin

from distillery.admin.owning import OfOwnPlants, OwnersOnly
from distillery.models import Instrument, InstrumentCorrection


class CorrectionInline(OwnersOnly, admin.TabularInline):
    """The certificate's corrections, one a row."""

    model = InstrumentCorrection
    extra = 0


@admin.register(Instrument)
class InstrumentAdmin(OfOwnPlants, admin.ModelAdmin):
    """A gauge keeps the words of its own correction; later ones take these."""

    fixed = ("premises", "code", "kind")
    list_display = (
        "code", "kind", "low", "high", "last_tested", "months_between_tests", "certificate",
        "is_retired",
    )  # fmt: skip
    list_filter = ("kind", "is_retired")
    search_fields = ("code", "certificate")
    inlines = (CorrectionInline,)
