"""A record of some days on landscape letter pages: black on white, heads repeat, page n of m.

No clock is printed, so the same book and days give the same bytes.
"""

from collections.abc import Sequence
from functools import cache, lru_cache, partial
from io import BytesIO
from xml.sax.saxutils import escape

from reportlab.lib.colors import black
from reportlab.lib.pagesizes import landscape, letter
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    PageTemplate,
    Paragraph,
    Spacer,
    TableStyle,
)
from reportlab.platypus import Table as Ruled

from distillery.papers.numbered import NumberedCanvas
from distillery.papers.printable import printable
from distillery.records.base import Column, Kind, Row, Sheet
from distillery.records.shown import Facts, blank_sentence, parted, text
from distillery.records.signing import statement

PAGE = landscape(letter)
MARGIN = 36  # points, half an inch
WIDTH = PAGE[0] - 2 * MARGIN
FACTS_ACROSS = 3
PLAIN, STRONG = "Helvetica", "Helvetica-Bold"
LEADING = 1.18  # of the size of type
PADDING = 5  # points at both sides of a cell together

_TITLE = ParagraphStyle("title", fontName="Helvetica-Bold", fontSize=14, leading=18)
_SMALL = ParagraphStyle("small", fontName="Helvetica", fontSize=7.5, leading=9.5)
_FACT = ParagraphStyle("fact", fontName="Helvetica", fontSize=8, leading=9.5)
_SIZES = ((12, 7.5), (18, 6.5), (99, 5.5))  # up to so many columns, points
_FACTS = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LINEBELOW", (0, 0), (-1, -1), 0.25, black),
    ("LEFTPADDING", (0, 0), (-1, -1), 2),
    ("RIGHTPADDING", (0, 0), (-1, -1), 4),
    ("TOPPADDING", (0, 0), (-1, -1), 1),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
]
_GRID = [
    ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
    ("LINEABOVE", (0, 0), (-1, 0), 0.9, black),
    ("LINEBELOW", (0, 0), (-1, 0), 0.9, black),
    ("LINEBELOW", (0, 1), (-1, -1), 0.25, black),
    ("LEFTPADDING", (0, 0), (-1, -1), 3),
    ("RIGHTPADDING", (0, 0), (-1, -1), 2),
    ("TOPPADDING", (0, 0), (-1, -1), 1.5),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
]


def render(kind: Kind, sheets: Sequence[Sheet], facts: Facts) -> bytes:
    """The sheets of one record, one under another."""
    out = BytesIO()
    document = BaseDocTemplate(
        out, pagesize=PAGE, leftMargin=MARGIN, rightMargin=MARGIN, topMargin=MARGIN,
        bottomMargin=MARGIN, invariant=1, title=printable(kind.title), author="",
        pageCompression=1,
    )  # fmt: skip
    frame = Frame(MARGIN, MARGIN, WIDTH, PAGE[1] - 2 * MARGIN, 0, 0, 0, 0)
    document.addPageTemplates(PageTemplate(frames=[frame]))
    foot = f"{facts.plant} · {facts.registry} · {kind.section} · {facts.days} · {facts.short_foot}"
    document.build(
        _flow(kind, sheets, facts),
        canvasmaker=partial(NumberedCanvas, margin=MARGIN, foot=printable(foot)),
    )
    return out.getvalue()


def _set(words: str, style: ParagraphStyle) -> Paragraph:
    return Paragraph(escape(printable(words)), style)


def _flow(kind: Kind, sheets: Sequence[Sheet], facts: Facts) -> list[Flowable]:
    flow: list[Flowable] = [
        _set(f"{kind.title}, {kind.section}", _TITLE),
        _set(f"{facts.plant} · {facts.registry} · {facts.days}", _FACT),
        _set(f"To be entered: {kind.when}. {facts.foot}", _SMALL),
        *(_set(note, _SMALL) for note in kind.notes),
    ]
    if not sheets:
        flow += [Spacer(0, 12), _set("Nothing of this kind in these days.", _FACT)]
    parts = [parted(kind.all_columns, sheet.rows) for sheet in sheets]
    most = max((len(full) for full, _ in parts), default=0)
    size = next(points for limit, points in _SIZES if most <= limit)
    for sheet, (full, blank) in zip(sheets, parts, strict=True):
        lines = -(-len(sheet.facts) // FACTS_ACROSS)
        flow += [Spacer(0, 10), CondPageBreak(60 + 14 * lines)]  # a head stays with its first rows
        if sheet.facts:
            flow.append(_heads(sheet))
        if full:
            flow += [Spacer(0, 3), _ruled(full, sheet.rows, size)]
        if blank and kind.all_columns:
            flow += [Spacer(0, 2), _set(blank_sentence(blank), _SMALL)]
        if kind.signed_as:
            flow += _signature(kind.signed_as, sheet)
    return flow


def _heads(sheet: Sheet) -> Ruled:
    """Name and value pairs, three across; a blank value is an empty rule."""
    cells = [
        Paragraph(f"{escape(printable(one.head))}: <b>{escape(printable(text(cell)))}</b>", _FACT)
        for one, cell in sheet.facts
    ]
    lines = [cells[at : at + FACTS_ACROSS] for at in range(0, len(cells), FACTS_ACROSS)]
    lines[-1] += [_set("", _FACT)] * (FACTS_ACROSS - len(lines[-1]))
    ruled = Ruled(lines, colWidths=[WIDTH / FACTS_ACROSS] * FACTS_ACROSS, hAlign="LEFT")
    ruled.setStyle(TableStyle(_FACTS))
    return ruled


def _ruled(columns: Sequence[Column], rows: Sequence[Row], size: float) -> Ruled:
    widths = _widths(columns, rows, size)
    cells = [[_cell(one.head, one, False, size, widths[n]) for n, one in enumerate(columns)]]
    cells += [
        [_cell(text(row.cells.get(one.name)), one, row.is_total, size, widths[n])
         for n, one in enumerate(columns)]
        for row in rows
    ]  # fmt: skip
    style = [*_GRID, ("FONT", (0, 0), (-1, -1), PLAIN, size, size * LEADING)]
    style += [("FONT", (0, n), (-1, n), STRONG, size, size * LEADING)
              for n, row in enumerate(rows, start=1) if row.is_total]  # fmt: skip
    style += [("ALIGN", (n, 0), (n, -1), "RIGHT") for n, one in enumerate(columns) if one.is_figure]
    ruled = Ruled(cells, colWidths=widths, repeatRows=1, hAlign="LEFT")
    ruled.setStyle(TableStyle(style))
    return ruled


def _widths(columns: Sequence[Column], rows: Sequence[Row], size: float) -> list[float]:
    """Room for the longest word of each column; what is left goes by the columns' shares."""
    needs = [
        PADDING + 1 + max(
            _longest(printable(words), size)
            for words in (one.head, *(text(row.cells.get(one.name)) for row in rows))
        )
        for one in columns
    ]  # fmt: skip
    left = WIDTH - sum(needs)
    if left < 0:
        return [need * WIDTH / sum(needs) for need in needs]
    each = left / sum(one.share for one in columns)
    return [need + one.share * each for need, one in zip(needs, columns, strict=True)]


@lru_cache(maxsize=50_000)
def _longest(words: str, size: float) -> float:
    return max((stringWidth(word, STRONG, size) for word in words.split()), default=0)


def _cell(words: str, column: Column, is_total: bool, size: float, width: float) -> str | Paragraph:
    """Text that fits its column as it is; a paragraph, slower to set, where it must be broken."""
    words = printable(words)
    font = STRONG if is_total else PLAIN
    if stringWidth(words, font, size) <= width - PADDING and "\n" not in words:
        return words
    return Paragraph(escape(words), _style(font, size, column.is_figure))


@cache
def _style(font: str, size: float, is_figure: bool) -> ParagraphStyle:
    return ParagraphStyle(
        f"{font}-{size}-{is_figure}", fontName=font, fontSize=size, leading=size * LEADING,
        alignment=2 if is_figure else 0,
    )  # fmt: skip


def _signature(signed_as: str, sheet: Sheet) -> list[Flowable]:
    """The statement of 27 CFR 19.45 with room to sign; what was signed in the app is printed."""
    told = {one.name: text(cell) for one, cell in sheet.facts}
    blank = ("Signature", "Name", "Title", "Date")
    names = ("signature", "signed_by", "signed_title", "signed_on")
    cells = [[_set(told.get(name, ""), _FACT) for name in names], [_set(w, _SMALL) for w in blank]]
    ruled = Ruled(cells, colWidths=[WIDTH / 4] * 4, rowHeights=[26, 12], hAlign="LEFT")
    ruled.setStyle(TableStyle([("LINEBELOW", (0, 0), (-1, 0), 0.6, black),
                               ("VALIGN", (0, 0), (-1, 0), "BOTTOM")]))  # fmt: skip
    return [Spacer(0, 6), CondPageBreak(70), _set(statement(signed_as), _FACT), ruled]
