"""A curve as a paper: the picture, what it says, and the figures it was drawn from."""

from collections.abc import Sequence
from datetime import datetime

from distillery.curves.plotted import Plotted
from distillery.papers.paper import Paper, Steps, Table
from distillery.papers.pdf import render
from distillery.papers.picture import Picture
from ledger.models import Premises

# How wide a head's column is beside the others; a column of figures where it is not named.
WIDE = {"When": 15, "Note": 22, "Hydrometer": 15}
FIGURES = 8


def curve_pdf(
    premises: Premises,
    plotted: Plotted,
    *,
    now: datetime,
    facts: Sequence[tuple[str, str]] = (),
) -> bytes:
    """The PDF of *plotted*, printed *now*; *facts* stand under the plant's own."""
    printed = f"{now.astimezone(premises.zone):%Y-%m-%d %H:%M %Z}"
    head = (
        ("Plant", premises.name), ("Registry", premises.registry), ("Printed", printed), *facts,
    )  # fmt: skip
    shares = tuple(WIDE.get(name, FIGURES) for name in plotted.heads)
    count = len(plotted.rows)
    # The last row of a table is its total.
    total = (f"{count} row{'' if count == 1 else 's'}", *("" for _ in plotted.heads[1:]))
    parts = (
        Picture(plotted.caption, plotted.chart), Steps("What it says", plotted.words),
        Table("Figures", plotted.heads, (*plotted.rows, total), shares),
        Steps("Voided, and counted nowhere", tuple(f"{one}. {why}" for one, why in plotted.voided)),
    )  # fmt: skip
    foot = f"{premises.name} · {premises.registry} · {plotted.chart.title}"
    return render([Paper(plotted.chart.title, head, parts, foot)])
