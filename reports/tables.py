"""Ruled lists of the filings: the months, and the movements behind a figure."""

from datetime import date, datetime
from typing import Any

import django_tables2 as tables
from django.urls import reverse
from django.utils.html import format_html

from distillery.pages.sentences import of_movement
from distillery.tables import PAPER, operation_title
from distillery.templatetags.plant import moment
from ledger.quantities import to_decimal
from reports.behind import Counted
from reports.month_list import Month

_FIGURE = {"td": {"class": "number"}, "th": {"class": "number"}}


class MonthTable(tables.Table):
    """Months, newest first: state, when due, and where the forms are."""

    month = tables.Column(verbose_name="Month")
    state = tables.Column(verbose_name="State")
    due = tables.Column(verbose_name="Reports due")
    closed = tables.Column(verbose_name="Closed", default="")
    entries = tables.Column(verbose_name="Entries", attrs=_FIGURE)

    class Meta:
        template_name = "book/table.html"
        attrs = PAPER
        orderable = False
        empty_text = "Nothing is recorded yet, so there is no month to file."

    def render_month(self, value: date) -> str:
        address = reverse("reports:month", args=[value])
        return format_html('<a href="{}">{}</a>', address, f"{value:%B %Y}")

    def render_due(self, value: date, record: Month) -> str:
        return f"{value.day} {value:%b %Y}"


class BehindTable(tables.Table):
    """Movements behind a figure, each with what it adds."""

    at = tables.Column(
        accessor="movement__at", verbose_name="When", attrs={"td": {"class": "when"}}
    )
    entry = tables.Column(accessor="movement__entry", verbose_name="Entry")
    act = tables.Column(accessor="movement__entry__operation", verbose_name="Act")
    moved = tables.Column(accessor="movement", verbose_name="What moved")
    lot = tables.Column(accessor="movement", verbose_name="Lot")
    value = tables.Column(verbose_name="Adds", attrs=_FIGURE)

    class Meta:
        template_name = "book/table.html"
        attrs = PAPER
        orderable = False
        empty_text = "Nothing moved in the month."

    def __init__(self, *args: Any, zone: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.zone = zone

    def render_at(self, value: datetime) -> str:
        return moment(value, self.zone)

    def render_entry(self, value: Any) -> str:
        return format_html(
            '<a href="{}">№ {}</a>', reverse("entry", args=[value.number]), value.number
        )

    def render_act(self, value: str) -> str:
        return operation_title(value)

    def render_moved(self, value: Any) -> str:
        return str(of_movement(value))

    def render_lot(self, value: Any) -> str:
        return of_movement(value).lots

    def render_value(self, record: Counted) -> str:
        return f"{to_decimal(record.value):,f}".replace("-", "−")
