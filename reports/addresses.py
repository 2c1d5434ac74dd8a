"""How a month stands in an address, and where each cell of a form is found."""

from datetime import date
from urllib.parse import quote

from django.urls import reverse

from ledger.errors import BadFact
from reports.filled import FilledForm
from reports.month_book import read_month


class MonthConverter:
    """A month in a path, like 2026-03."""

    regex = "[0-9]{4}-[0-9]{2}"

    def to_python(self, value: str) -> date:
        """The first day of the month; a ValueError makes the address match nothing."""
        try:
            return read_month(value)
        except BadFact as error:
            raise ValueError(str(error)) from error

    def to_url(self, value: date | str) -> str:
        """A date or the written month, as the path has it."""
        return value if isinstance(value, str) else f"{value:%Y-%m}"


class DayConverter:
    """A day in a path, like 2026-03-31."""

    regex = "[0-9]{4}-[0-9]{2}-[0-9]{2}"

    def to_python(self, value: str) -> date:
        """The day; a ValueError makes the address match nothing."""
        return date.fromisoformat(value)

    def to_url(self, value: date) -> str:
        """The day as the path has it."""
        return value.isoformat()


def form_address(form: FilledForm) -> str:
    """The page of a filled form."""
    return form_page(form.month, form.slug, form.source)


def form_page(month: date, slug: str, source: str = "") -> str:
    """The page of a form; of one source where the form is by source."""
    parts = [month, slug, source] if source else [month, slug]
    return reverse("reports:form", args=parts)


def export_address(month: date, slug: str, source: str, format: str) -> str:
    """Where a form is handed out in *format*."""
    parts = [month, slug, source, format] if source else [month, slug, format]
    return reverse("reports:export", args=parts)


def cell_address(form: FilledForm, *, part: str, row: int, column: str) -> str:
    """The page of what is behind one figure: the *row* of the part as it is printed."""
    place = f"?part={quote(part)}&row={row}&column={quote(column)}"
    name = [form.month, form.slug, form.source] if form.source else [form.month, form.slug]
    return reverse("reports:cell", args=name) + place


def file_address(month: date, slug: str, source: str = "") -> str:
    """Where a report is marked as filed."""
    return reverse("reports:file", args=[month, slug, source] if source else [month, slug])
