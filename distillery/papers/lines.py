"""Lines of text as a PDF in a fixed pitch: a gauging table, page n of m, its heads repeated."""

from collections.abc import Sequence
from io import BytesIO

from reportlab.lib.pagesizes import landscape, letter
from reportlab.pdfgen.canvas import Canvas

WIDTH, HEIGHT = landscape(letter)
MARGIN, SIZE, LEADING = 36, 7.5, 9  # points
A_PAGE = int((HEIGHT - 2 * MARGIN) // LEADING) - 4


def pages(lines: Sequence[str]) -> list[list[str]]:
    """The blocks of *lines* (parted by an empty line) on pages, each with its block's head."""
    blocks: list[list[str]] = [[]]
    for line in lines:
        if line:
            blocks[-1].append(line)
        elif blocks[-1]:
            blocks.append([])
    found = []
    for head, *rows in filter(None, blocks):
        room = A_PAGE - 1
        parts = [rows[at : at + room] for at in range(0, len(rows), room)] or [[]]
        found += [[head, *part] for part in parts]
    return found


def render(title: str, lines: Sequence[str]) -> bytes:
    """The PDF; the same lines give the same bytes."""
    out = BytesIO()
    canvas = Canvas(out, pagesize=(WIDTH, HEIGHT), invariant=1)
    canvas.setTitle(title)
    sheets = pages(lines)
    for number, sheet in enumerate(sheets, 1):
        text = canvas.beginText(MARGIN, HEIGHT - MARGIN)
        text.setFont("Helvetica-Bold", 10)
        text.textLine(title)
        text.setFont("Courier", SIZE, LEADING)
        text.textLine("")
        for line in sheet:
            text.textLine(line)
        canvas.drawText(text)
        canvas.setFont("Helvetica", 7)
        canvas.drawRightString(WIDTH - MARGIN, MARGIN / 2, f"page {number} of {len(sheets)}")
        canvas.showPage()
    canvas.save()
    return out.getvalue()
