"""Head labels of packages as PDF: the marks of 27 CFR 19.484 and 19.488, one label a page.

19.483: easily read, in contrast, durable; so black on white, large, on 4 by 6 inch stock.
"""

from collections.abc import Sequence
from io import BytesIO

from reportlab.lib.units import inch
from reportlab.lib.utils import simpleSplit
from reportlab.pdfgen.canvas import Canvas

from distillery.package_marks import Mark
from distillery.papers.paper import BLANK
from distillery.papers.qr_drawing import draw_qr

SIZE = (6 * inch, 4 * inch)
EDGE = 18.0
NAME, PLAIN, BOLD = 8.0, "Helvetica", "Helvetica-Bold"
LARGEST, SMALLEST = 26.0, 9.0
CODE = 1.3 * inch  # side of the QR code, at the right


def head_labels(
    labels: Sequence[Sequence[Mark]], *, title: str, addresses: Sequence[str] = ()
) -> bytes:
    """A PDF of *labels*, each the marks of one package. The same marks give the same bytes.

    *addresses*, one a label, are where their QR codes lead; without them there is no code.
    """
    out = BytesIO()
    canvas = Canvas(out, pagesize=SIZE, invariant=1, pageCompression=1)
    canvas.setTitle(title)
    for number, marks in enumerate(labels):
        _label(canvas, marks, CODE if addresses else 0)
        if addresses:
            left, bottom = SIZE[0] - EDGE - CODE, (SIZE[1] - CODE) / 2
            draw_qr(canvas, addresses[number], left=left, bottom=bottom, side=CODE)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _label(canvas: Canvas, marks: Sequence[Mark], beside: float) -> None:
    width, height = SIZE
    canvas.setLineWidth(1.5)
    canvas.rect(EDGE / 2, EDGE / 2, width - EDGE, height - EDGE)
    room = (height - 2 * EDGE) / max(1, len(marks))
    top = height - EDGE
    for number, mark in enumerate(marks):
        _row(canvas, mark, top - number * room, room, beside)


def _row(canvas: Canvas, mark: Mark, top: float, room: float, beside: float) -> None:
    """One mark: its name small, its value as large as fits; an empty rule where none is known."""
    name, value = (_printable(text) for text in mark)
    left, width = EDGE + 92, SIZE[0] - 2 * EDGE - 92 - beside
    canvas.setFont(PLAIN, NAME)
    canvas.drawString(EDGE, top - room / 2 - NAME / 3, name)
    if value == BLANK:
        canvas.setLineWidth(0.5)
        canvas.line(left, top - room * 0.75, left + width, top - room * 0.75)
        return
    size = min(LARGEST, room * 0.8)
    while size > SMALLEST and len(simpleSplit(value, BOLD, size, width)) * size * 1.1 > room:
        size -= 0.5
    lines = simpleSplit(value, BOLD, size, width)
    canvas.setFont(BOLD, size)
    first = top - room / 2 - size / 3 + (len(lines) - 1) * size * 0.55
    for number, line in enumerate(lines):
        canvas.drawString(left, first - number * size * 1.1, line)


def _printable(text: str) -> str:
    return text.encode("cp1252", "replace").decode("cp1252")
