"""The reconciliation on paper: a table and a picture for each account, losses, stock, counts."""

from functools import partial
from io import BytesIO
from typing import Any

from reportlab.graphics.shapes import Drawing, Line, Rect, String
from reportlab.lib.colors import black, white
from reportlab.lib.pagesizes import letter
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    KeepTogether,
    PageTemplate,
    Paragraph,
    Spacer,
)

from distillery.papers.numbered import NumberedCanvas
from ledger.models import Premises
from ledger.quantities import to_decimal
from reports.faces.pdf import MARGIN, PART, SMALL, TITLE, ruled
from reports.faces.sheet import Table, figure, foot_of
from reports.waterfall import BAR, LOSS, RISE, TOTAL, WIDTH, Waterfall

SCALE = (letter[0] - 2 * MARGIN) / WIDTH


def picture(fall: Waterfall) -> Drawing:
    """The waterfall in black: totals solid, rises filled grey by outline, losses hatched."""
    drawing = Drawing(WIDTH * SCALE, fall.height * SCALE)
    for bar in fall.bars:
        y = (fall.height - bar.y - BAR) * SCALE
        x, width, height = bar.x * SCALE, bar.width * SCALE, BAR * SCALE
        fill = black if bar.kind == TOTAL else white
        drawing.add(Rect(x, y, width, height, fillColor=fill, strokeColor=black, strokeWidth=0.7))
        if bar.kind in (RISE, LOSS):
            _hatch(drawing, x, y, width, height, both=bar.kind == LOSS)
        drawing.add(String(2, y + 3, bar.title, fontName="Helvetica", fontSize=7.5))
        drawing.add(
            String(WIDTH * SCALE - 2, y + 3, bar.figure.replace("−", "-"), fontName="Helvetica",
                   fontSize=7.5, textAnchor="end")
        )  # fmt: skip
    zero = fall.zero * SCALE
    drawing.add(Line(zero, 0, zero, fall.height * SCALE, strokeColor=black, strokeWidth=0.5))
    return drawing


def _hatch(
    drawing: Drawing, x: float, y: float, width: float, height: float, *, both: bool
) -> None:
    """Upright strokes for what came in, close ones for what was lost."""
    step = 2.0 if both else 5.0
    at = x + step
    while at < x + width:
        drawing.add(Line(at, y, at, y + height, strokeColor=black, strokeWidth=0.3))
        at += step


def render(premises: Premises, reading: dict[str, Any]) -> bytes:
    """The paper; the same reading gives the same bytes."""
    out = BytesIO()
    document = BaseDocTemplate(
        out, pagesize=letter, leftMargin=MARGIN, rightMargin=MARGIN, topMargin=MARGIN,
        bottomMargin=MARGIN, invariant=1, title=f"Reconciliation, {reading['span'].title}",
        author="",
    )  # fmt: skip
    size = (letter[0] - 2 * MARGIN, letter[1] - 2 * MARGIN)
    document.addPageTemplates(PageTemplate(frames=[Frame(MARGIN, MARGIN, *size, 0, 0, 0, 0)]))
    through = foot_of((premises.last_number, premises.last_seal))
    foot = f"{premises.name} · {premises.registry} · {reading['span'].title} · {through}"
    document.build(
        _flow(premises, reading), canvasmaker=partial(NumberedCanvas, margin=MARGIN, foot=foot)
    )
    return out.getvalue()


def _flow(premises: Premises, reading: dict[str, Any]) -> list[Flowable]:
    flow: list[Flowable] = [
        Paragraph(f"Reconciliation, {reading['span'].title}", TITLE),
        Paragraph(f"{premises.name} · {premises.registry} · proof gallons", SMALL),
    ]
    for bridge, fall in reading["bridges"]:
        head = Paragraph(bridge.title.capitalize(), PART)
        flow.append(KeepTogether([Spacer(0, 8), head, picture(fall)]))
    for table in (*_losses(reading), *_stock(reading)):
        flow += [Spacer(0, 8), Paragraph(table.title, PART), ruled(table)]
    return flow


def _losses(reading: dict[str, Any]) -> list[Table]:
    tank, (first, last) = reading["tank"], reading["quarter"]
    percent = f"{float(tank.percent):.2f} %" if tank.percent is not None else "none held"
    state = "above 1.5 %: tax is due unless a claim is allowed" if tank.is_excessive else "within"
    rows = ((f"{first:%b} to {last:%b %Y}", state, percent, figure(tank.lost), figure(tank.base)),)
    heads = ("Quarter", "1.5 % (27 CFR 19.462(e))", "Lost", "Lost, PG", "Of, PG")
    found = [Table("Storage tanks", heads, rows, 2)]
    barrels = tuple(
        (f"{one.years} to {one.years + 1} years", str(one.barrels), figure(one.filled),
         figure(one.lost), f"{one.percent:.1f} %")
        for one in reading["barrels"]
    )  # fmt: skip
    if barrels:
        heads = ("Age when emptied", "Barrels", "Filled, PG", "Lost, PG", "Lost")
        found.append(Table("Barrels emptied", heads, barrels, 1))
    return found


def _stock(reading: dict[str, Any]) -> list[Table]:
    found = []
    stock = tuple(
        (one.name, f"{one.bottle_ml} mL", one.account, f"{one.cases} + {one.loose}",
         figure(one.proof_gallons))
        for one in reading["stock"]
    )  # fmt: skip
    if stock:
        heads = ("Product", "Bottle", "Where", "Cases + bottles", "PG")
        found.append(Table("Bottled stock now", heads, stock, 3))
    rows = tuple(
        (str(one.entry), one.vessel, one.lot, one.booked_as,
         f"{to_decimal(one.proof_gallons):,f}")
        for one in reading["differences"]
    )  # fmt: skip
    if rows:
        heads = ("Entry", "Vessel", "Lot", "Booked as", "Found less book, PG")
        found.append(Table("Counts against the book", heads, rows, 4))
    return found
