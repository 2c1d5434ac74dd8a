"""The records that tell of an entry, from its page."""

from typing import Any

from django import template
from django.urls import reverse
from django.utils.http import urlencode

from distillery.records import kinds
from ledger.models import Entry

register = template.Library()


@register.inclusion_tag("records/told_in.html")
def told_in(entry: Entry, zone: Any) -> dict[str, Any]:
    """Links to each record of the entry's day that tells of its operation; no query."""
    day = f"{entry.happened_at.astimezone(zone):%Y-%m-%d}"
    query = urlencode({"first": day, "last": day})
    found = [kind for kind in kinds().values() if entry.operation in kind.operations]
    return {
        "records": [
            (kind.title, kind.number, f"{reverse('record-of', args=[kind.slug])}?{query}")
            for kind in (*found, kinds()["daily-record"])
        ]
    }
