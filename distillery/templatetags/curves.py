"""Curves for the pages of a wash, its fermenter and a barrel."""

from typing import Any

from django import template
from django.utils import timezone

from distillery.barrel_spells import Spell
from distillery.barrel_story import Reading
from distillery.curves.barrel import barrel_curve
from distillery.pages.curves import ferment_of
from ledger.models import Lot, Vessel

register = template.Library()


@register.inclusion_tag("things/ferment.html", takes_context=True)
def ferment(context: Any, lot: Lot | str) -> dict[str, Any]:
    """The curve of a wash, given itself or its code, and when it is read next."""
    premises = context["premises"]
    if isinstance(lot, str):
        lot = Lot.objects.get(premises=premises, code=lot)
    return {"ferment": ferment_of(lot, premises, timezone.now())}


@register.inclusion_tag("things/barrel_curve.html", takes_context=True)
def barrel_strength(
    context: Any, vessel: Vessel, spells: list[tuple[Spell, str]], readings: list[Reading]
) -> dict[str, Any]:
    """The curve of a barrel since its last fill; *spells* are newest first with their ages."""
    newest = [spells[0][0]] if spells else []
    zone = context["premises"].zone
    return {"vessel": vessel, "plotted": barrel_curve(vessel, newest, readings, zone)}
