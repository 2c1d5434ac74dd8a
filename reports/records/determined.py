"""The documents of a span of days on which tax was determined, as the tax figure has them."""

from distillery.models import DatedSetting
from distillery.records.span import Span
from ledger.models import Period
from reports.tax import Document, year_documents


def documents(span: Span) -> list[Document]:
    """Every document whose day lies in the span, in the order of the days.

    One that came late is of the day on which tax was determined (27 CFR 19.612), though it
    counts in a later month, perhaps of a later year.
    """
    months = {one.month: one for one in Period.objects.filter(premises=span.premises)}
    rules = DatedSetting.all_of(span.premises)
    ends = {month.year: month for month in sorted(months) if month.year >= span.first.year}
    found = [
        document
        for end in ends.values()
        for document in year_documents(span.premises, months, rules, through=end)
        if span.first <= document.day <= span.last
    ]
    return sorted(found, key=lambda one: (one.day, one.entries))


def by_rate(document: Document) -> str:
    """``11.2 PG at $2.70; 3.0 PG at $13.34``."""
    return "; ".join(f"{one.proof_gallons:,} PG at ${one.rate}" for one in document.shares)
