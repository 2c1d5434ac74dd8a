"""The curves of a ferment and a barrel: for their pages, and as papers."""

from dataclasses import dataclass
from datetime import datetime

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from distillery.barrel_spells import spells_of
from distillery.barrel_story import acts_of, moves_of, readings_of
from distillery.curves.barrel import barrel_curve
from distillery.curves.ferment import ferment_curve, last_read
from distillery.curves.plotted import Plotted
from distillery.pages.barrels import barrel_for
from distillery.pages.people import lot_for, member_for
from distillery.papers.curve_paper import curve_pdf
from distillery.readings_due import DueIn, ferment_due
from distillery.shown_in import shown_in
from ledger.models import Holding, Lot, Premises
from ledger.models.book import LIVE


@dataclass(frozen=True, slots=True)
class Ferment:
    """A wash's curve, when it is read next while it stands in a fermenter, and its address."""

    lot: Lot
    plotted: Plotted | None
    due: DueIn | None


def ferment_of(lot: Lot, premises: Premises, now: datetime) -> Ferment:
    """What the pages of a wash and its fermenter show of its readings."""
    plotted = ferment_curve(lot, zone=premises.zone, shown=shown_in(premises))
    held = Holding.objects.filter(LIVE, lot=lot, account="fermenting").first()
    due = None
    if held:
        due = ferment_due(premises, last=last_read(lot), since=held.since, now=now)
    return Ferment(lot, plotted, due)


@require_safe
def ferment(request: HttpRequest, code: str) -> HttpResponse:
    """The curve of a wash as PDF. 404 for a lot nobody took a gravity or a temperature of."""
    member = member_for(request)
    found = ferment_of(lot_for(member.premises, code), member.premises, timezone.now())
    if found.plotted is None:
        raise Http404("Nothing was read of this lot.")
    facts = [("Lot", f"{found.lot.code} {found.lot.name}")]
    paper = curve_pdf(member.premises, found.plotted, now=timezone.now(), facts=facts)
    return as_pdf(paper, f"ferment-{found.lot.code}")


@require_safe
def barrel(request: HttpRequest, code: str) -> HttpResponse:
    """The curve of a barrel's last fill as PDF. 404 for one never filled."""
    member = member_for(request)
    vessel = barrel_for(member.premises, code)
    spells, acts, moves = spells_of(vessel), acts_of(vessel), moves_of(vessel)
    found = readings_of(spells, acts, moves, vessel)
    plotted = barrel_curve(vessel, spells, found, member.premises.zone)
    if plotted is None:
        raise Http404("This barrel was never filled here.")
    facts = [("Barrel", vessel.code), ("Lot", spells[-1].lots[-1].code)]
    paper = curve_pdf(member.premises, plotted, now=timezone.now(), facts=facts)
    return as_pdf(paper, f"barrel-{vessel.code}")


def as_pdf(paper: bytes, name: str) -> HttpResponse:
    """A PDF to keep, under *name*."""
    answer = HttpResponse(paper, content_type="application/pdf")
    answer["Content-Disposition"] = f'attachment; filename="{name}.pdf"'
    return answer
