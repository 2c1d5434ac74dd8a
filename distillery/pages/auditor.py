"""One page for an auditor: each thing asked for, with a link to what answers it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from distillery.pages.people import member_for
from distillery.pages.records import days_asked, span_asked
from distillery.records import kinds
from distillery.records.audit import HEADINGS, Asked
from distillery.records.shown import days_of

Link = tuple[str, str]


@require_safe
def for_an_auditor(request: HttpRequest) -> HttpResponse:
    """The headings of an audit for the days asked for."""
    member = member_for(request)
    span, form = span_asked(request, member.premises)
    query = days_asked(span)
    headings = [(title, [(one, _links(one, query)) for one in asked]) for title, asked in HEADINGS]
    context = {"span": span, "form": form, "days": days_of(span), "query": query}
    return render(request, "records/auditor.html", {**context, "headings": headings})


def _links(one: Asked, query: str) -> list[Link]:
    known = kinds()
    links = [
        (known[slug].title, f"{reverse('record-of', args=[slug])}?{query}") for slug in one.records
    ]
    return links + [(page.words, reverse(page.name)) for page in one.pages]
