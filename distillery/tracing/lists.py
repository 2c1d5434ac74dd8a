"""Ruled columns of a trace: kin, endings and what still stands, a page at a time."""

from typing import Any

import django_tables2 as tables
from django.http import HttpRequest
from django.urls import reverse
from django.utils.html import format_html

from distillery.tables import paged
from distillery.tracing.told import Row

PER_PAGE = 20
PAPER = {"class": "stack"}
NUMBER: dict[str, Any] = {"td": {"class": "number"}, "th": {"class": "number"}}


class TraceTable(tables.Table):
    """Rows of ``told.rows_of``: each part of the page shows the columns it needs."""

    share = tables.Column(verbose_name="Share", attrs=NUMBER)
    lot = tables.Column(verbose_name="Lot")
    name = tables.Column(verbose_name="What it is")
    much = tables.Column(verbose_name="How much", attrs=NUMBER)
    day = tables.Column(verbose_name="Day", attrs={"td": {"class": "when"}})
    document = tables.Column(verbose_name="Document")
    account = tables.Column(verbose_name="Where to")
    consignee = tables.Column(verbose_name="Whom to")
    traced = tables.Column(verbose_name="Of it, traced", attrs=NUMBER)
    vessel = tables.Column(verbose_name="Stands in")
    supplier = tables.Column(verbose_name="From whom")
    cases = tables.Column(verbose_name="Cases")

    class Meta:
        template_name = "trace/table.html"
        attrs = PAPER
        orderable = False
        default = ""

    def render_lot(self, value: str) -> str:
        return format_html('<a href="{}">{}</a>', reverse("trace-lot", args=[value]), value)

    def render_document(self, value: str, record: Row) -> str:
        number = record["entry"]
        link = reverse("entry", args=[number])
        return format_html('<a href="{}">{}</a>', link, value or f"№ {number}")

    def render_consignee(self, value: str, record: Row) -> str:
        return format_html('<p>{}</p><p class="label">{}</p>', value, record["account"])

    def render_vessel(self, value: str) -> str:
        return format_html('<a href="{}">{}</a>', reverse("vessel", args=[value]), value)


COLUMNS = {
    "from": ("share", "lot", "name", "much", "supplier", "day"),
    "packed with": ("share", "lot", "name", "much", "supplier", "day"),
    "into": ("share", "lot", "name", "much", "cases"),
    "out": ("share", "lot", "day", "document", "consignee", "much", "traced", "cases"),
    "spent": ("share", "lot", "day", "document", "account", "much"),
    "here": ("share", "lot", "name", "vessel", "account", "much"),
}


def table_of(request: HttpRequest, part: str, rows: list[Row]) -> TraceTable:
    """The page's table of *part*, paged by an address word of its own."""
    wanted = COLUMNS[part]
    without = [name for name in TraceTable.base_columns if name not in wanted]
    table = TraceTable(
        rows, exclude=without, sequence=wanted, prefix=f"{part.split()[0]}-", order_by=()
    )
    paged(request, table, per_page=PER_PAGE)
    return table
