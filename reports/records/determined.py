"""The documents of a span of days on which tax was determined, as the tax figure has them."""

from collections.abc import Iterator
from datetime import date, timedelta

from distillery.records.span import Span
from reports.month_book import read_book
from reports.tax import Document, tax_from


def documents(span: Span) -> list[Document]:
    """Every document whose day lies in the span, in the order of the days."""
    found = [
        document
        for month in months(span)
        for document in tax_from(read_book(span.premises, month)).documents
        if span.first <= document.day <= span.last
    ]
    return sorted(found, key=lambda one: (one.day, one.entries))


def months(span: Span) -> Iterator[date]:
    """First days of the months that the span touches."""
    month = span.first.replace(day=1)
    while month <= span.last:
        yield month
        month = (month + timedelta(days=32)).replace(day=1)


def by_rate(document: Document) -> str:
    """``11.2 PG at $2.70; 3.0 PG at $13.34``."""
    return "; ".join(f"{one.proof_gallons:,} PG at ${one.rate}" for one in document.shares)
