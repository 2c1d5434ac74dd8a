"""What the plant tells for an emergency, and the limits posted in its rooms."""

from django.contrib import admin

from distillery.admin.owning import OfOwnPlants
from distillery.models import EmergencyFact, RoomLimit


@admin.register(EmergencyFact)
class EmergencyFactAdmin(OfOwnPlants, admin.ModelAdmin):
    """Numbers and places of the emergency page."""

    list_display = ("what", "told", "place")


@admin.register(RoomLimit)
class RoomLimitAdmin(OfOwnPlants, admin.ModelAdmin):
    """Limits as the fire authority gave them; none is built in."""

    list_display = ("room", "what", "limit", "given_by", "given_on")
    list_filter = ("room",)
