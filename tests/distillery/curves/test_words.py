"""The words of a chart as the page draws them: none on another, none outside, no line through one.

How wide they run is measured with Bitstream Vera, whose letters DejaVu Sans kept: the widest of the
sans-serifs that the page's style names. Heights above and below the line are of the same font.
"""

import re
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree  # our own drawing, nobody else's

from django.template.loader import render_to_string
from hypothesis import example, given, settings
from hypothesis import strategies as st
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from distillery.curves import Band, Event, Line, Panel, laid_out
from distillery.runs import FRACTIONS
from tests.world import ZONE

START = datetime(2026, 1, 12, 13, 0, tzinfo=UTC)
STYLE = Path("distillery/static/distillery/curves.css").read_text()
UP, DOWN = 0.76, 0.24  # of the size: above and below the line, figures and letters alike
SVG = "{http://www.w3.org/2000/svg}"

for face in ("Vera", "VeraBd"):
    pdfmetrics.registerFont(TTFont(face, f"{face}.ttf"))


def style_of(name):
    """(size, face) that the style sheet gives to the class."""
    sizes = [
        rule
        for names, rule in re.findall(r"([^{}]+)\{([^{}]*font-size[^{}]*)\}", STYLE)
        if f".{name}" in names
    ]
    (rule,) = sizes
    return int(re.search(r"font-size: (\d+)px", rule)[1]), "VeraBd" if "650" in rule else "Vera"


def box_of(text):
    """(left, top, right, bottom) of a text of the drawing."""
    size, face = style_of(text.get("class"))
    wide = pdfmetrics.stringWidth(text.text, face, size)
    x = float(text.get("x")) + float(text.get("dx", 0))
    x -= {"start": 0, "middle": wide / 2, "end": wide}[text.get("text-anchor", "start")]
    y = float(text.get("y")) + float(text.get("dy", 0))
    return x, y - UP * size, x + wide, y + DOWN * size


def touch(one, other):
    return (one[0] < other[2] and other[0] < one[2]) and (one[1] < other[3] and other[1] < one[3])


def drawn(chart):
    """(the drawing's root, its boxes by their words)."""
    page = render_to_string("things/curve_svg.html", {"chart": chart, "id": "c"})
    root = ElementTree.fromstring(page.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" '))  # noqa: S314
    return root, [(text.text, box_of(text)) for text in root.iter(f"{SVG}text")]


def check(chart):
    for one in (chart, chart.slim):
        check_one(one)


def check_one(chart):
    root, boxes = drawn(chart)
    width, height = map(int, root.get("viewBox").split()[2:])
    for words, box in boxes:
        left, top, right, bottom = box
        assert min(left, top) >= 0, words
        assert right <= width, words
        assert bottom <= height, words
    for (words, one), (others, other) in combinations(boxes, 2):
        assert not touch(one, other), (words, others)
    for line in root.iter(f"{SVG}line"):
        if line.get("class") == "curve-event":
            x, top, bottom = (float(line.get(name)) for name in ("x1", "y1", "y2"))
            for words, box in boxes:
                assert not touch((x, top, x, bottom), box), f"a line through {words}"


minutes = st.integers(0, 10 * 60)
figures = st.decimals(0, 300, places=1)
lines = st.lists(st.tuples(minutes, figures), min_size=1, max_size=12)


def line_of(name, marks, unit, form="solid"):
    marks = sorted(dict(marks).items())
    points = tuple((START + timedelta(minutes=at), value) for at, value in marks)
    return Line(name, points, form=form, unit=unit)


@settings(max_examples=50)
@given(
    proofs=lines, heads=lines, coolant=lines,
    cuts=st.lists(
        st.tuples(minutes, st.sampled_from([*FRACTIONS, "stopped", "run on", "low wines in"])),
        max_size=9,
    ),
)  # fmt: skip
@example(
    proofs=[(0, Decimal(170))], heads=[(0, Decimal(174))], coolant=[(0, Decimal(174))],
    cuts=[(0, "foreshots"), (1, "heads"), (2, "hearts"), (2, "stopped")],
)  # fmt: skip
@example(
    proofs=[(0, Decimal(100)), (300, Decimal(170))], heads=[(300, Decimal(62))],
    coolant=[(300, Decimal(62))], cuts=[(300, "hearts"), (303, "tails"), (306, "stopped")],
)  # fmt: skip
def test_a_run_has_no_words_on_words_and_no_line_through_them(proofs, heads, coolant, cuts):
    chart = laid_out(
        "Run", "Told.",
        [
            Panel("Strength at the parrot, proof at 60 °F", (line_of("", proofs, "proof"),)),
            Panel("Temperature, °F", (
                line_of("head", heads, "°F"), line_of("condenser", coolant, "°F", "dashed"))),
        ],
        zone=ZONE, events=[Event(START + timedelta(minutes=at), words) for at, words in cuts],
    )  # fmt: skip
    check(chart)


@settings(max_examples=30)
@given(read=lines, path=lines, low=figures, high=figures)
def test_a_ferment_has_no_words_on_words(read, path, low, high):
    ends = (START, START + timedelta(hours=72))
    band = Band(*(tuple((at, edge) for at in ends) for edge in sorted((low, high))))
    panel = Panel(
        "Specific gravity",
        (line_of("", read, "SG"), line_of("expected", path, "", "dashed")), band,
    )  # fmt: skip
    check(laid_out("Ferment", "Told.", [panel], zone=ZONE))


@settings(max_examples=30)
@given(st.lists(figures, min_size=2, max_size=6))
def test_the_words_of_many_lines_stay_in_their_panel(ends):
    panel = Panel("Proof", tuple(line_of(f"line {n}", [(0, 50), (60, end)], "") for n, end
                                 in enumerate(ends)))  # fmt: skip
    check(laid_out("Lines", "Told.", [panel], zone=ZONE))
