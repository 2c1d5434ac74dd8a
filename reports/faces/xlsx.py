"""A workbook an accountant can check: figures as numbers, totals as formulas, and for each form
a sheet of the movements behind it with a sheet that adds them up against the figures.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from io import BytesIO
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from distillery.pages.sentences import of_movement
from distillery.tables import operation_title
from ledger.quantities import to_decimal
from reports.behind import shape_of
from reports.behind_all import Behind
from reports.checks import Check
from reports.faces.sheet import Sheet, caption_of
from reports.filled import FilledForm, FilledLine, FilledPart

BOLD = Font(bold=True)
UNDER = Border(bottom=Side(style="thin"))
WRAP = Alignment(wrap_text=True, vertical="top")
FIGURE = "#,##0.00;-#,##0.00;-"
NOTE = "Worksheet: type the figures into the official form or portal. Not tax advice."
FORMULA = ("=", "+", "-", "@")


@dataclass(frozen=True, slots=True)
class FormBook:
    """A form with its checks and what is behind its figures."""

    form: FilledForm
    checks: Sequence[Check]
    behind: Sequence[Behind]


def words(text: str) -> str:
    """Text that no spreadsheet takes for a formula."""
    return f"'{text}" if text.startswith(FORMULA) else text


def render(forms: Iterable[FormBook], others: Iterable[Sheet]) -> bytes:
    """The workbook: three sheets a form, then one for each other sheet."""
    book = Workbook()
    book.remove(book.active)  # type: ignore[arg-type]
    for one in forms:
        name = _name(one.form)
        places = _form_sheet(book.create_sheet(name), one)
        _behind_sheet(book.create_sheet(f"{name} behind"), one)
        _adds_up(book.create_sheet(f"{name} adds up"), one, name, places)
    for sheet in others:
        _plain_sheet(book.create_sheet(_short(sheet.title)), sheet)
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def _short(title: str) -> str:
    return "".join(c for c in title if c not in r"[]:*?/\ ".replace(" ", ""))[:28]


def _name(form: FilledForm) -> str:
    number = form.number.removeprefix("TTB F ")
    return f"{number} {form.source}".strip()[:20]


Places = dict[tuple[str, int, str], str]


def _form_sheet(sheet: Worksheet, one: FormBook) -> Places:
    form = one.form
    places: Places = {}
    _row(sheet, [f"{form.number} · {form.title}"], font=BOLD)
    _row(sheet, [f"{form.plant} · {form.registry} · {form.month:%B %Y} · {form.status}"])
    _row(sheet, [f"Edition {form.edition}. {NOTE}"])
    for part in form.parts:
        _row(sheet, [])
        title = f"Part {part.part} · {part.title}" if part.part else part.title
        _row(sheet, [title], font=BOLD)
        places |= _part(sheet, form, part)
        for note in part.notes:
            _row(sheet, [note])
    _row(sheet, [])
    _checks(sheet, one.checks)
    _widths(sheet, [8, 48])
    sheet.freeze_panes = "C4"
    return places


def _part(sheet: Worksheet, form: FilledForm, part: FilledPart) -> Places:
    heads = ["Line", "", *(f"({c.key}) {c.caption}" for c in part.columns)]
    _row(sheet, heads, font=BOLD, border=UNDER)
    first = (sheet.max_row or 0) + 1
    places: Places = {}
    for place in range(len(part.lines)):
        for at, column in enumerate(part.columns, start=3):
            places[part.part, place, column.key] = f"{get_column_letter(at)}{first + place}"
    for place, line in enumerate(part.lines):
        cells = [_cell(form, part, place, column.key, places) for column in part.columns]
        font = BOLD if line.is_total else None
        _row(sheet, [line.number, words(caption_of(line)), *cells], font=font)
        for at in range(3, 3 + len(cells)):
            sheet.cell(first + place, at).number_format = FIGURE
    return places


def _cell(form: FilledForm, part: FilledPart, place: int, key: str, places: Places) -> Any:
    """A number; for a total the formula that recomputes it from the cells it names."""
    line = part.lines[place]
    if key not in line.cells:
        return None
    adds = _line_sums(form, part, line, key) or _column_sums(form, part, place, key)
    if not adds:
        return to_decimal(line.cells[key].value)
    return "=" + "+".join(places[where] for where in adds)


def _line_sums(
    form: FilledForm, part: FilledPart, line: FilledLine, key: str
) -> list[tuple[str, int, str]]:
    wanted = shape_of(form, part.part).line(line.of).sums
    return [
        (part.part, at, key)
        for at, one in enumerate(part.lines)
        if one.of in wanted and key in one.cells
    ]


def _column_sums(
    form: FilledForm, part: FilledPart, place: int, key: str
) -> list[tuple[str, int, str]]:
    columns = {column.key: column for column in shape_of(form, part.part).columns}
    return [(part.part, place, one) for one in columns[key].sums]


def _checks(sheet: Worksheet, checks: Sequence[Check]) -> None:
    _row(sheet, ["Checks"], font=BOLD)
    for check in checks:
        state = "holds" if check.holds else "does not hold"
        _row(
            sheet, [state, words(check.title), to_decimal(check.left), to_decimal(check.right)]
        )  # fmt: skip


BEHIND = ("Part", "Line", "Column", "Day", "Entry", "Act", "What moved", "Lot", "Adds")


def _behind_sheet(sheet: Worksheet, one: FormBook) -> None:
    _row(sheet, list(BEHIND), font=BOLD, border=UNDER)
    for row in one.behind:
        movement = row.movement
        told = of_movement(movement)
        zone = movement.entry.premises.zone
        _row(
            sheet,
            [row.part, _key(row), row.column, f"{movement.at.astimezone(zone):%Y-%m-%d}",
             movement.entry.number, operation_title(movement.entry.operation),
             words(str(told)), words(str(told.lots)), to_decimal(row.value)],
        )  # fmt: skip
        sheet.cell(sheet.max_row, len(BEHIND)).number_format = FIGURE
    _widths(sheet, [6, 12, 8, 12, 8, 24, 44, 20, 12])
    sheet.freeze_panes = "A2"


def _key(row: Behind) -> str:
    """The row of the part by its place, so that two written-in rows stay apart."""
    return f"{row.number} ({row.row + 1})"


def _adds_up(sheet: Worksheet, one: FormBook, name: str, places: Places) -> None:
    """Each figure with what the movements behind it come to, by formula."""
    _row(sheet, ["Part", "Line", "Column", "Figure", "Behind it", "Difference"], font=BOLD)
    seen = dict.fromkeys((row.part, row.row, row.column, _key(row)) for row in one.behind)
    for part, place, column, key in seen:
        at = sheet.max_row + 1
        behind = f"'{name} behind'!"
        total = (
            f"=SUMIFS({behind}I:I,{behind}A:A,A{at},{behind}B:B,B{at},{behind}C:C,C{at})"
        )  # fmt: skip
        figure = f"='{name}'!{places[part, place, column]}"
        _row(sheet, [part, key, column, figure, total, f"=ROUND(D{at}-E{at},2)"])
        for column_at in (4, 5, 6):
            sheet.cell(at, column_at).number_format = FIGURE
    _widths(sheet, [6, 12, 8, 14, 14, 14])


def _plain_sheet(sheet: Worksheet, one: Sheet) -> None:
    _row(sheet, [one.title], font=BOLD)
    for name, value in one.facts:
        _row(sheet, [name, words(value)])
    for table in one.tables:
        _row(sheet, [])
        _row(sheet, [table.title], font=BOLD)
        _row(sheet, list(table.heads), font=BOLD, border=UNDER)
        for row in table.rows:
            figures = [_number(text) for text in row[table.words :]]
            _row(sheet, [*(words(text) for text in row[: table.words]), *figures])
    for note in one.notes:
        _row(sheet, [words(note)])
    _widths(sheet, [14, 24, 22])


def _number(text: str) -> Any:
    try:
        return Decimal(text.replace(",", ""))
    except ArithmeticError:
        return words(text)


def _row(
    sheet: Worksheet, values: list[Any], *, font: Font | None = None, border: Border | None = None
) -> None:
    sheet.append(values or [None])
    for cell in sheet[sheet.max_row] if font or border else ():
        if font:
            cell.font = font
        if border:
            cell.border, cell.alignment = border, WRAP


def _widths(sheet: Worksheet, widths: list[int]) -> None:
    for at in range(1, max(len(widths), sheet.max_column or 0) + 1):
        width = widths[at - 1] if at <= len(widths) else 13
        sheet.column_dimensions[get_column_letter(at)].width = width
