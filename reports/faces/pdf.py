"""Paper: black on white letter pages, the form's line order, page n of m, the seal head.

The same figures give the same bytes: no clock is printed, but the newest entry the figures
rest on and the head of the seal chain.
"""

from collections.abc import Sequence
from functools import partial
from io import BytesIO
from xml.sax.saxutils import escape

from reportlab.lib.colors import black
from reportlab.lib.pagesizes import landscape, letter
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    PageBreak,
    PageTemplate,
    Paragraph,
    Spacer,
    TableStyle,
)
from reportlab.platypus import Table as Ruled

from distillery.papers.numbered import NumberedCanvas
from reports.faces.sheet import CHECKS, Sheet, Table

PAGE = landscape(letter)
MARGIN = 36  # points, half an inch
WIDTH = PAGE[0] - 2 * MARGIN
FIGURE_WIDTH = {True: 44, False: 78}  # of a column, in a table with many or few of them
LINE_WIDTH = 34

TITLE = ParagraphStyle("title", fontName="Helvetica-Bold", fontSize=14, leading=18)
PART = ParagraphStyle("part", fontName="Helvetica-Bold", fontSize=10, leading=13, spaceAfter=3)
SMALL = ParagraphStyle("small", fontName="Helvetica", fontSize=7.5, leading=9.5)
_HEAD = ParagraphStyle("head", fontName="Helvetica", fontSize=6, leading=7)
_HEAD_RIGHT = ParagraphStyle("head-right", parent=_HEAD, alignment=2)
_WORDS = ParagraphStyle("words", fontName="Helvetica", fontSize=7.5, leading=9)
_STRONG = ParagraphStyle("strong", parent=_WORDS, fontName="Helvetica-Bold")

_GRID = [
    ("LINEBELOW", (0, 0), (-1, 0), 0.9, black),
    ("LINEBELOW", (0, 1), (-1, -1), 0.25, black),
    ("FONT", (0, 1), (-1, -1), "Helvetica", 7.5),
    ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
    ("LEFTPADDING", (0, 0), (-1, -1), 2),
    ("RIGHTPADDING", (0, 0), (-1, -1), 2),
    ("TOPPADDING", (0, 0), (-1, -1), 1.1),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 1.1),
]


def render(sheets: Sequence[Sheet]) -> bytes:
    """The sheets, each on pages of its own."""
    out = BytesIO()
    title = " and ".join(sheet.title for sheet in sheets)
    document = BaseDocTemplate(
        out, pagesize=PAGE, leftMargin=MARGIN, rightMargin=MARGIN, topMargin=MARGIN,
        bottomMargin=MARGIN, invariant=1, title=title, author="", pageCompression=1,
    )  # fmt: skip
    frame = Frame(MARGIN, MARGIN, WIDTH, PAGE[1] - 2 * MARGIN, 0, 0, 0, 0)
    document.addPageTemplates(PageTemplate(frames=[frame]))
    flow: list[Flowable] = []
    for number, sheet in enumerate(sheets):
        flow += [PageBreak()] * (number > 0) + _sheet(sheet)
    foot = _page_foot(sheets)
    document.build(flow, canvasmaker=partial(NumberedCanvas, margin=MARGIN, foot=foot))
    return out.getvalue()


def _page_foot(sheets: Sequence[Sheet]) -> str:
    facts = dict(sheets[0].facts)
    return f"{facts['Plant']} · {facts['Registry']} · {facts['Month']} · {sheets[0].foot}"


def _sheet(sheet: Sheet) -> list[Flowable]:
    facts = " · ".join(f"{name}: <b>{escape(value)}</b>" for name, value in sheet.facts)
    flow: list[Flowable] = [Paragraph(escape(sheet.title), TITLE), Paragraph(facts, SMALL)]
    for table in sheet.tables:
        if table.title == CHECKS and not table.strong:
            # On paper a list of what holds only pushes the form to another page.
            flow += [Spacer(0, 6), Paragraph(f"All {len(table.rows)} checks hold.", SMALL)]
            continue
        flow += [Spacer(0, 8), CondPageBreak(72), Paragraph(escape(table.title), PART)]
        flow.append(ruled(table))
        flow += [Paragraph(escape(note), SMALL) for note in table.notes]
    flow.append(Spacer(0, 8))
    starred = any("*" in row[1] for table in sheet.tables for row in table.rows if len(row) > 1)
    notes = ("* check against the current form", *sheet.notes) if starred else sheet.notes
    return flow + [Paragraph(escape(note), SMALL) for note in notes]


def ruled(table: Table) -> Ruled:
    """*table* with its rules; heads repeat on a new page."""
    heads = [
        Paragraph(escape(head), _HEAD if place < table.words else _HEAD_RIGHT)
        for place, head in enumerate(table.heads)
    ]
    rows = [
        [_words(cell, number in table.strong) if place < table.words else cell
         for place, cell in enumerate(row)]
        for number, row in enumerate(table.rows)
    ]  # fmt: skip
    style = [*_GRID, ("ALIGN", (table.words, 0), (-1, -1), "RIGHT")]
    for number in table.strong:
        style.append(("FONT", (0, number + 1), (-1, number + 1), "Helvetica-Bold", 7.5))
        style.append(("LINEABOVE", (0, number + 1), (-1, number + 1), 0.9, black))
    drawn = Ruled([heads, *rows], colWidths=_widths(table), repeatRows=1, hAlign="LEFT")
    drawn.setStyle(TableStyle(style))
    return drawn


def _words(text: str, is_strong: bool) -> Paragraph:
    return Paragraph(escape(text), _STRONG if is_strong else _WORDS)


def _widths(table: Table) -> list[float]:
    figures = len(table.heads) - table.words
    each = FIGURE_WIDTH[figures > 6]
    left = WIDTH - figures * each
    if table.heads[0] == "Line":
        return [LINE_WIDTH, min(left, 380 if figures <= 6 else left) - LINE_WIDTH] + [
            each
        ] * figures
    first = [min(left, 460.0) / table.words] * table.words
    if table.heads[0] == "Check":
        first = [left - 150.0, 50.0, 100.0]
    return [*first, *([each] * figures)]
