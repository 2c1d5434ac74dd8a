"""Papers on letter pages, black on white, page n of m. The same paper gives the same bytes."""

from collections.abc import Sequence
from functools import partial
from io import BytesIO
from xml.sax.saxutils import escape

from reportlab.lib.colors import black
from reportlab.lib.pagesizes import letter
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
from distillery.papers.paper import Facts, Note, Paper, Part, Steps, Table
from distillery.papers.picture import ChartDrawing, Picture

MARGIN = 40  # points
WIDTH = letter[0] - 2 * MARGIN
NAME_WIDTH = 150

_TITLE = ParagraphStyle("title", fontName="Helvetica-Bold", fontSize=15, leading=20, spaceAfter=4)
_PART = ParagraphStyle("part", fontName="Helvetica-Bold", fontSize=10, leading=14, spaceBefore=8)
_WORDS = ParagraphStyle("words", fontName="Helvetica", fontSize=9, leading=11.5)
_STEP = ParagraphStyle("step", parent=_WORDS, leftIndent=16, firstLineIndent=-16, spaceAfter=2)
_SMALL = ParagraphStyle("small", parent=_WORDS, fontSize=7.5, leading=9.5, spaceBefore=6)
_HEAD = ParagraphStyle("head", parent=_WORDS, fontSize=7, leading=8.5)
_CELL = ParagraphStyle("cell", parent=_WORDS, fontSize=8, leading=9.5)
_TOTAL = ParagraphStyle("total", parent=_CELL, fontName="Helvetica-Bold")

_PLAIN = [
    ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
    ("LEFTPADDING", (0, 0), (-1, -1), 2),
    ("RIGHTPADDING", (0, 0), (-1, -1), 2),
    ("TOPPADDING", (0, 0), (-1, -1), 2),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
]
_FACTS = [*_PLAIN, ("LINEBELOW", (1, 0), (1, -1), 0.25, black)]
_GRID = [
    *_PLAIN,
    ("INNERGRID", (0, 0), (-1, -1), 0.25, black),
    ("LINEBELOW", (0, 0), (-1, 0), 0.9, black),
    ("LINEABOVE", (0, -1), (-1, -1), 0.9, black),
]
# The base fonts of every reader know one page of characters; these have a spelling in it.
_SPELLED = str.maketrans({"№": "No.", "−": "-", "≥": ">=", "≤": "<=", "→": "->"})


def render(papers: Sequence[Paper]) -> bytes:
    """The papers in one file, each beginning on a page of its own."""
    out = BytesIO()
    document = BaseDocTemplate(
        out, pagesize=letter, leftMargin=MARGIN, rightMargin=MARGIN, topMargin=MARGIN,
        bottomMargin=MARGIN, invariant=1, title=" and ".join(one.title for one in papers),
        author="", pageCompression=1,
    )  # fmt: skip
    frame = Frame(MARGIN, MARGIN, WIDTH, letter[1] - 2 * MARGIN, 0, 0, 0, 0)
    document.addPageTemplates(PageTemplate(frames=[frame]))
    flow: list[Flowable] = []
    for number, paper in enumerate(papers):
        flow += [PageBreak()] * (number > 0) + _flow(paper)
    document.build(
        flow, canvasmaker=partial(NumberedCanvas, margin=MARGIN, foot=_printable(papers[0].foot))
    )
    return out.getvalue()


def _printable(text: str) -> str:
    return text.translate(_SPELLED).encode("cp1252", "replace").decode("cp1252")


def _set(text: str, style: ParagraphStyle) -> Paragraph:
    return Paragraph(escape(_printable(text)), style)


def _flow(paper: Paper) -> list[Flowable]:
    flow: list[Flowable] = [_set(paper.title, _TITLE), _pairs(paper.facts)]
    for part in paper.parts:
        flow += _part(part)
    return flow


def _part(part: Part) -> list[Flowable]:
    match part:
        case Picture(text):
            return [Spacer(0, 8), ChartDrawing(part.chart, WIDTH), _set(text, _SMALL)]
        case Note(text):
            return [_set(text, _SMALL)]
        case Facts(title, pairs):
            return [*_titled(title), _pairs(pairs)] if pairs else []
        case Steps(title, lines):
            numbered = [_set(f"{n}. {line}", _STEP) for n, line in enumerate(lines, start=1)]
            return [*_titled(title), *numbered] if lines else []
        case Table(title):
            return [*_titled(title), _ruled(part)]


def _titled(title: str) -> list[Flowable]:
    return [CondPageBreak(60), _set(title, _PART), Spacer(0, 2)]


def _pairs(pairs: Sequence[tuple[str, str]]) -> Ruled:
    rows = [[_set(name, _WORDS), _set(value, _WORDS)] for name, value in pairs]
    ruled = Ruled(rows, colWidths=[NAME_WIDTH, WIDTH - NAME_WIDTH], hAlign="LEFT")
    ruled.setStyle(TableStyle(_FACTS))
    return ruled


def _ruled(table: Table) -> Ruled:
    *rows, total = table.rows
    cells = [[_set(cell, _CELL) for cell in row] for row in rows]
    cells.append([_set(cell, _TOTAL) for cell in total])
    heads = [_set(head, _HEAD) for head in table.heads]
    each = WIDTH / sum(table.shares)
    widths = [share * each for share in table.shares]
    ruled = Ruled(
        [heads, *cells], colWidths=widths, rowHeights=[None, *[table.row_height] * len(cells)],
        repeatRows=1, hAlign="LEFT",
    )  # fmt: skip
    ruled.setStyle(TableStyle(_GRID))
    return ruled
