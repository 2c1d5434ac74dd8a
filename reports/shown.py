"""What the pages of the filings need beside the figures: links, and cells ready to draw."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from ledger.posting import next_month
from ledger.quantities import to_decimal
from reports.addresses import cell_address, export_address, form_address, form_page
from reports.behind import Place, summands
from reports.checks import Check
from reports.faces import CONTENT_TYPES
from reports.faces.sheet import figure, source_title
from reports.filled import FilledForm, FilledLine, FilledPart
from reports.forms import FORMS
from reports.month_book import MonthBook, month_before
from reports.month_end import Filings


@dataclass(frozen=True, slots=True)
class Link:
    """Words and where they lead."""

    title: str
    address: str
    is_here: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure to draw; no address where it is zero, no text where the form stays empty."""

    text: str
    address: str = ""


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """A line of the sheet."""

    line: FilledLine
    figures: tuple[Figure, ...]
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class DrawnPart:
    """A part of the sheet; a wide one scrolls inside its own box."""

    part: FilledPart
    lines: tuple[DrawnLine, ...]


def parts(form: FilledForm, *, linked: bool = True) -> list[DrawnPart]:
    """The parts of *form*; where *linked*, with a link behind every figure that is not zero."""
    return [
        DrawnPart(part, tuple(_drawn(form, part, row, linked) for row in range(len(part.lines))))
        for part in form.parts
    ]


def _drawn(form: FilledForm, part: FilledPart, row: int, linked: bool) -> DrawnLine:
    line = part.lines[row]
    figures = []
    for column in part.columns:
        cell = line.cells.get(column.key)
        if cell is None:
            figures.append(Figure(""))
        elif not cell.value or not linked:
            figures.append(Figure(figure(cell.value)))
        else:
            address = cell_address(form, part=part.part, row=row, column=column.key)
            figures.append(Figure(figure(cell.value), address))
    # Rows written in under one line share its number; the first of them is where a link leads.
    is_first = all(other.of != line.of for other in part.lines[:row])
    return DrawnLine(line, tuple(figures), anchor(part.part, line.of) if is_first else "")


def sources(filings: Filings, slug: str) -> list[Link]:
    """The reports of a form by source."""
    return [
        Link(source_title(source), form_address(form))
        for (name, source), form in filings.forms.items()
        if name == slug
    ]


def exports(month: date, slug: str, source: str) -> list[Link]:
    """A link to each format of a filing."""
    return [Link(name, export_address(month, slug, source, name)) for name in CONTENT_TYPES]


@dataclass(frozen=True, slots=True)
class DrawnCheck:
    """A check with both figures as text and links to the lines it compares."""

    check: Check
    left: str
    right: str
    lines: tuple[Link, ...]


def failed_first(checks: Iterable[Check], month: date) -> list[DrawnCheck]:
    """Checks ready to draw, what does not hold before what does."""
    ordered = sorted(checks, key=lambda one: (one.holds, not one.blocking))
    return [
        DrawnCheck(
            one, both_signs(one.left), both_signs(one.right),
            tuple(_line_link(line, month) for line in one.lines),
        )
        for one in ordered
    ]  # fmt: skip


def _line_link(line: str, month: date) -> Link:
    """A link to a line written as "form part line"."""
    form, part, number = line.split(" ", 2)
    slug, _, source = form.partition("/")
    name = FORMS[slug].number.removeprefix("TTB F ")
    words = f"{name} {'' if part == '-' else part + ' '}{number}"
    return Link(words, f"{form_page(month, slug, source)}#{anchor(part, number)}")


def anchor(part: str, number: str) -> str:
    """The id of a line's row on its page."""
    return f"line-{'' if part == '-' else part}-{number}".replace(" ", "")


def both_signs(hundredths: int) -> str:
    """A figure compared with another: zero told, a true minus."""
    return f"{to_decimal(hundredths):,f}".replace("-", "−")


def can_close(book: MonthBook, running: date) -> bool:
    """Whether *book* is the oldest open month and over; *running* is the month that runs now."""
    closed = book.premises.closed_through
    due = next_month(closed) if closed else min(book.months, default=book.month)
    return book.is_open and book.month == due and book.month < running


def figure_page(place: Place, book: MonthBook) -> dict[str, Any]:
    """The context of the page behind a figure."""
    key = place.column.key
    adds = [
        Link(
            f"{line.number} {line.caption}: {figure(line.cells[key].value)}",
            cell_address(place.form, part=place.part.part, row=row, column=key),
        )
        for row, line in summands(place)
        if line.cells[key].value
    ]
    balance = place.line.closing or place.line.counted
    return {
        "place": place,
        "value": figure(place.value),
        "form_address": form_address(place.form),
        "summands": adds,
        "is_opening": bool(place.line.opening),
        "is_balance": bool(balance),
        "before": form_page(month_before(book.month), place.form.slug, place.form.source),
        "month_before": month_before(book.month),
    }
