"""The papers of an entry as PDF: its gauge slip, its gauge record."""

from collections.abc import Sequence

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from distillery.models import KeptSlip
from distillery.pages.people import entry_for, member_for
from distillery.papers.gauge_record import gauge_records, has_gauge_record
from distillery.papers.gauge_slip import gauge_slip
from distillery.papers.paper import Paper
from distillery.papers.pdf import render


@require_safe
def entry_slip(request: HttpRequest, number: int) -> HttpResponse:
    """How the figures of an entry were found. 404 for an entry without a slip."""
    entry = entry_for(member_for(request).premises, number)
    slips = KeptSlip.of_entry(entry)
    if not slips:
        raise Http404("This entry has no gauge slip.")
    return _answer([gauge_slip(entry, slips)], f"gauge-slip-{number}")


@require_safe
def entry_gauge_record(request: HttpRequest, number: int) -> HttpResponse:
    """The gauge record and package gauge record of an entry. 404 for an entry that is none."""
    entry = entry_for(member_for(request).premises, number)
    papers = gauge_records(entry) if has_gauge_record(entry) else ()
    if not papers:
        raise Http404("This entry is no gauge record.")
    return _answer(papers, f"gauge-record-{number}")


def _answer(papers: Sequence[Paper], name: str) -> HttpResponse:
    answer = HttpResponse(render(papers), content_type="application/pdf")
    answer["Content-Disposition"] = f'attachment; filename="{name}.pdf"'
    return answer
