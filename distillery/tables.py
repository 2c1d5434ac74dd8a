"""Ruled columns of the book: entries and movements, newest first, a page at a time.

Only columns that an index orders can be sorted, and the number of pages is not counted: with
a hundred thousand movements either would read the whole book.
"""

from datetime import datetime
from typing import Any

import django_tables2 as tables
from django.http import HttpRequest
from django.urls import reverse
from django.utils.html import format_html, format_html_join
from django_tables2 import LazyPaginator, RequestConfig

from distillery.lateness import late_words
from distillery.operations import operations
from distillery.pages.sentences import of_movement
from distillery.templatetags.plant import moment
from ledger.models import Entry, Movement

PER_PAGE = 25
MOST_A_PAGE, MOST_PAGES = 500, 1_000_000
SHOWN = 2  # movements told of an entry in the list
PAPER = {"class": "stack"}


def operation_title(slug: str) -> str:
    """The title of an operation; the slug of one that is no longer known."""
    known = operations().get(slug)
    return known.title if known else slug


def _when(**attrs: Any) -> tables.Column:
    return tables.Column(attrs={"td": {"class": "when"}}, **attrs)


def _entry_link(entry: Entry) -> str:
    return format_html('<a href="{}">№ {}</a>', reverse("entry", args=[entry.number]), entry.number)


class _InPlantTime(tables.Table):
    """A table whose moments are told in the zone of the plant."""

    def __init__(self, *args: Any, zone: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.zone = zone


class EntryTable(_InPlantTime):
    """Entries of the book; ``first_movements`` is to be prefetched, SHOWN + 1 of each."""

    number = tables.Column(verbose_name="№")
    happened_at = _when(verbose_name="When")
    operation = tables.Column(verbose_name="Act")
    moved = tables.Column(empty_values=(), orderable=False, verbose_name="What moved")
    by = tables.Column(orderable=False, verbose_name="By")
    state = tables.Column(empty_values=(), orderable=False, verbose_name="State")

    class Meta:
        template_name = "book/table.html"
        attrs = PAPER
        order_by = "-number"
        empty_text = "No entry fits. Clear the filter to see the whole book."

    def render_number(self, record: Entry) -> str:
        return _entry_link(record)

    def render_happened_at(self, value: datetime) -> str:
        return moment(value, self.zone)

    def render_operation(self, value: str) -> str:
        return operation_title(value)

    def render_moved(self, record: Any) -> str:
        told = [str(of_movement(row)) for row in record.first_movements]
        more = ["and more"] if len(told) > SHOWN else []
        return format_html_join("", "<p>{}</p>", ((line,) for line in told[:SHOWN] + more))

    def render_state(self, record: Entry) -> str:
        accounts = [row.to_account for row in record.first_movements]  # type: ignore[attr-defined]
        late = late_words(record, accounts)
        told = [*states_of(record), *([late] if late else [])]
        return format_html_join("", "<p>{}</p>", ((text,) for text in told))


class MovementTable(_InPlantTime):
    """Movements of one vessel or lot."""

    at = _when(verbose_name="When")
    entry = tables.Column(orderable=False, verbose_name="Entry")
    act = tables.Column(accessor="entry__operation", orderable=False, verbose_name="Act")
    moved = tables.Column(empty_values=(), orderable=False, verbose_name="What moved")
    lots = tables.Column(empty_values=(), orderable=False, verbose_name="Lot")

    class Meta:
        template_name = "book/table.html"
        attrs = PAPER
        order_by = "-at"
        empty_text = "Nothing has moved here yet."

    def render_at(self, value: datetime) -> str:
        return moment(value, self.zone)

    def render_entry(self, record: Movement) -> str:
        return _entry_link(record.entry)

    def render_act(self, value: str) -> str:
        return operation_title(value)

    def render_moved(self, record: Movement) -> str:
        return str(of_movement(record))

    def render_lots(self, record: Movement) -> str:
        codes = dict.fromkeys(lot.code for lot in (record.from_lot, record.to_lot) if lot)
        links = ((reverse("lot", args=[code]), code) for code in codes)
        return format_html_join(" → ", '<a href="{}">{}</a>', links)


def states_of(entry: Entry) -> list[str]:
    """What became of *entry*, in words."""
    found = []
    if entry.reverses:
        found.append(f"takes back № {entry.reverses.number}")
    if entry.corrects:
        found.append(f"corrects № {entry.corrects.number}")
    if hasattr(entry, "reversed_by"):
        found.append(f"taken back by № {entry.reversed_by.number}")
    return found


class Pages(LazyPaginator):
    """Pages of a list; the address may ask for any number of them, but no database can count so
    far, and how many rows a page has is bounded too."""

    def __init__(self, rows: Any, per_page: int, **options: Any) -> None:
        super().__init__(rows, min(max(1, int(per_page)), MOST_A_PAGE), **options)

    def validate_number(self, number: Any) -> int:
        """The page number, never beyond MOST_PAGES."""
        return min(int(super().validate_number(number)), MOST_PAGES)


def paged(request: HttpRequest, table: tables.Table, *, per_page: int = PER_PAGE) -> tables.Table:
    """*table* with the page and order that the address asks for."""
    paginate = {"per_page": per_page, "paginator_class": Pages}
    RequestConfig(request, paginate=paginate).configure(table)
    return table
