"""A QR code on paper, as vectors."""

from reportlab.pdfgen.canvas import Canvas

from distillery.qr import QUIET, modules, runs


def draw_qr(canvas: Canvas, text: str, *, left: float, bottom: float, side: float) -> None:
    """Draw *text* into a square of *side* points, its clear space inside."""
    step = side / (len(modules(text)) + 2 * QUIET)
    path = canvas.beginPath()
    for row, column, length in runs(text):
        x = left + (column + QUIET) * step
        y = bottom + side - (row + 1 + QUIET) * step
        path.rect(x, y, length * step, step)
    canvas.setFillGray(0)
    canvas.drawPath(path, stroke=0, fill=1)
