"""Labels with a QR code on the label sheets that shops sell. Black on white, as vectors.

Sizes of sheets: common practice, no source; a test proves that each fits its page.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO

from reportlab.lib.pagesizes import A4, letter
from reportlab.lib.units import inch, mm
from reportlab.lib.utils import simpleSplit
from reportlab.pdfgen.canvas import Canvas

from distillery.papers.qr_drawing import draw_qr
from distillery.qr import QUIET, modules

PLAIN, BOLD = "Helvetica", "Helvetica-Bold"
LARGEST, SMALLEST = 30.0, 7.0
LINE_LARGEST, LINE_SMALLEST = 16.0, 5.5


@dataclass(frozen=True, slots=True)
class Stock:
    """A sheet of labels: page, label, how many across and down, and where the first begins.

    All in points; ``step`` is from one label's corner to the next.
    """

    code: str
    title: str
    page: tuple[float, float]
    label: tuple[float, float]
    across: int
    down: int
    start: tuple[float, float]
    step: tuple[float, float]

    @property
    def count(self) -> int:
        """Labels on a sheet."""
        return self.across * self.down


STOCKS = {
    one.code: one
    for one in (
        Stock(
            "letter-2x4", "Letter, 2 × 4 in, 10 a sheet", letter, (4 * inch, 2 * inch), 2, 5,
            (0.15625 * inch, 0.5 * inch), (4.1875 * inch, 2 * inch),
        ),
        Stock(
            "letter-1x2", "Letter, 1 × 2⅝ in, 30 a sheet", letter, (2.625 * inch, inch), 3, 10,
            (0.1875 * inch, 0.5 * inch), (2.75 * inch, inch),
        ),
        Stock(
            "a4-70x37", "A4, 70 × 37 mm, 24 a sheet", A4, (70 * mm, 37 * mm), 3, 8,
            (0, 0.5 * mm), (70 * mm, 37 * mm),
        ),
        Stock(
            "single-4x6", "One label, 4 × 6 in", (4 * inch, 6 * inch), (4 * inch, 6 * inch), 1, 1,
            (0, 0), (4 * inch, 6 * inch),
        ),
    )
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Label:
    """One label: its large word, the lines under it, and where its QR code leads."""

    title: str
    lines: tuple[str, ...]
    address: str


def _inner(stock: Stock) -> tuple[float, float]:
    """Width and height of a label of *stock* inside its margin."""
    pad = _pad(stock)
    return stock.label[0] - 2 * pad, stock.label[1] - 2 * pad


def _pad(stock: Stock) -> float:
    return max(4.0, min(stock.label) * 0.05)  # the code has clear space of its own besides


def _code_side(stock: Stock) -> float:
    """The side of the QR code with its clear space: above the words, or at the left of them."""
    width, height = _inner(stock)
    return min(width, height * 0.55) if height > width else min(height, width * 0.42)


def square_mm(address: str, stock: Stock) -> float:
    """How wide one square of the QR code of *address* is on *stock*, in millimeters."""
    return _code_side(stock) / (len(modules(address)) + 2 * QUIET) / mm


def label_sheets(labels: Sequence[Label], stock: Stock, *, skip: int = 0, name: str) -> bytes:
    """A PDF of *labels*, the first *skip* places of the first sheet left empty.

    The same labels give the same bytes.
    """
    out = BytesIO()
    canvas = Canvas(out, pagesize=stock.page, invariant=1, pageCompression=1)
    canvas.setTitle(name)
    for number, label in enumerate(labels, start=skip):
        if number > skip and number % stock.count == 0:
            canvas.showPage()
        _place(canvas, label, stock, number % stock.count)
    canvas.showPage()
    canvas.save()
    return out.getvalue()


def _place(canvas: Canvas, label: Label, stock: Stock, place: int) -> None:
    row, column = divmod(place, stock.across)
    pad, (width, height) = _pad(stock), _inner(stock)
    left = stock.start[0] + column * stock.step[0] + pad
    top = stock.page[1] - stock.start[1] - row * stock.step[1] - pad
    draw = _upright if height > width else _lying
    draw(canvas, label, _code_side(stock), left, top, width, height)


def _lying(
    canvas: Canvas, label: Label, side: float, left: float, top: float, width: float, height: float
) -> None:
    """The code at the left, the words at the right of it."""
    draw_qr(canvas, label.address, left=left, bottom=top - (height + side) / 2, side=side)
    _words(canvas, label, left + side + 5, top, width - side - 5, height)


def _upright(
    canvas: Canvas, label: Label, side: float, left: float, top: float, width: float, height: float
) -> None:
    """The code above, the words below."""
    draw_qr(canvas, label.address, left=left + (width - side) / 2, bottom=top - side, side=side)
    _words(canvas, label, left, top - side - 8, width, height - side - 8)


def _words(
    canvas: Canvas, label: Label, left: float, top: float, width: float, height: float
) -> None:
    """The title as large as fits in half the room, the lines as large as fits in the rest."""
    title, size = _fitted(_printable(label.title), BOLD, width, height * 0.5, LARGEST, SMALLEST)
    under = top - _draw(canvas, title, BOLD, size, left, top)
    text = "\n".join(map(_printable, label.lines))
    room = height - (top - under)
    lines, size = _fitted(text, PLAIN, width, room, LINE_LARGEST, LINE_SMALLEST)
    _draw(canvas, lines, PLAIN, size, left, under)


def _fitted(
    text: str, font: str, width: float, room: float, largest: float, smallest: float
) -> tuple[list[str], float]:
    size = largest
    while True:
        lines = [line for part in text.split("\n") for line in _split(part, font, size, width)]
        if size <= smallest or len(lines) * size * 1.18 <= room:
            return lines, size
        size -= 0.5


def _split(text: str, font: str, size: float, width: float) -> list[str]:
    return list(simpleSplit(text, font, size, width))


def _draw(
    canvas: Canvas, lines: Sequence[str], font: str, size: float, left: float, top: float
) -> float:
    canvas.setFont(font, size)
    for number, line in enumerate(lines):
        canvas.drawString(left, top - size * (0.85 + 1.18 * number), line)
    return len(lines) * size * 1.18


def _printable(text: str) -> str:
    return text.encode("cp1252", "replace").decode("cp1252")
