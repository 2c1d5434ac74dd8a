"""The page that leads from an entry to the figures it is part of."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from distillery.pages.people import member_for
from distillery.pages.sentences import of_movement
from distillery.tables import operation_title
from ledger.models import Entry
from reports.addresses import cell_address
from reports.landed import landed, month_of_entry


@require_safe
def landing(request: HttpRequest, number: int) -> HttpResponse:
    """The cells an entry landed in, each a link to all that is behind it."""
    member = member_for(request)
    entry = get_object_or_404(
        Entry.objects.select_related("period", "amends"), premises=member.premises, number=number
    )
    entry.premises = member.premises
    rows = [
        {
            "landing": one,
            "moved": of_movement(one.movement),
            "total": one.line.cells[one.column].value,
            "address": cell_address(one.form, part=one.part.part, row=one.row, column=one.column),
        }
        for one in landed(entry)
    ]
    context = {
        "entry": entry,
        "title": operation_title(entry.operation),
        "month": month_of_entry(entry),
        "rows": rows,
    }
    return render(request, "reports/landed.html", context)
