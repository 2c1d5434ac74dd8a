"""A chart's places: all inside the drawing, in order, words apart; the same chart on paper."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.template.loader import render_to_string
from hypothesis import given
from hypothesis import strategies as st

from distillery.curves import Band, Line, Panel, laid_out
from distillery.curves.scales import marks_between, rounded_out, step_for, times_between
from distillery.papers.picture import ChartDrawing
from tests.world import ZONE

START = datetime(2026, 1, 12, 13, 0, tzinfo=UTC)  # 08:00 at the plant


def points(*values, every=30):
    return tuple(
        (START + timedelta(minutes=every * place), Decimal(str(value)))
        for place, value in enumerate(values)
    )


def chart(*lines, band=None, events=()):
    panel = Panel("Proof", lines, band)
    return laid_out("A title", "A description.", [panel], zone=ZONE, events=events)


@given(
    st.lists(st.decimals(0, 1000, places=2), min_size=1, max_size=40),
    st.integers(min_value=1, max_value=60 * 24 * 400),
)
def test_every_mark_lies_in_its_panel_and_higher_is_more(values, every):
    drawn = chart(Line("", points(*values, every=every)))
    panel = drawn.panels[0]
    for x, y in panel.lines[0].spots:
        assert drawn.left <= x <= drawn.right
        assert panel.top <= y <= panel.bottom
    by_value = sorted(zip(values, panel.lines[0].spots, strict=True), key=lambda one: one[0])
    downs = [y for _, (_, y) in by_value]
    assert downs == sorted(downs, reverse=True)
    assert 2 <= len(panel.rules) <= 7


@pytest.mark.parametrize(
    ("least", "most", "step"),
    [("0", "100", "50"), ("0.995", "1.065", "0.02"), ("62", "188", "50"), ("5", "5", "0.5")],
)
def test_a_scale_has_round_steps(least, most, step):
    found = step_for(Decimal(least), Decimal(most))
    assert found == Decimal(step)
    low, high = rounded_out(Decimal(least), Decimal(most), found)
    marks = list(marks_between(low, high, found))
    assert marks[0] <= Decimal(least) <= Decimal(most) <= marks[-1]


def test_times_are_those_of_the_plants_clock():
    found = times_between(START, START + timedelta(hours=4), ZONE)
    assert [words for _, words in found] == [
        "12 Jan 08:00", "09:00", "10:00", "11:00", "12:00",
    ]  # fmt: skip


def test_a_year_is_told_by_the_first_days_of_its_months():
    found = times_between(START, START + timedelta(days=270), ZONE)
    assert [words for _, words in found] == ["Mar 2026", "May", "Jul", "Sep"]
    assert all(at.day == 1 and at.hour == 0 for at, _ in found)


def test_nothing_to_draw_is_no_chart():
    assert chart(Line("", ())) is None


def test_the_picture_says_in_words_what_it_shows():
    band = Band(points(1, 1), points(3, 3))
    drawn = chart(Line("head", points(1, 2), mark="square", unit="°F"), band=band)
    page = render_to_string("things/curve.html", {"chart": drawn, "id": "c", "caption": "Cap."})
    assert 'role="img" aria-labelledby="c-title c-desc"' in page
    assert '<title id="c-title">A title</title>' in page
    assert '<desc id="c-desc">A description.</desc>' in page
    assert "head 2.0 °F" in page
    assert "style=" not in page


def test_paper_keeps_the_shape():
    drawn = chart(Line("", points(1, 2)))
    flowable = ChartDrawing(drawn, 532)
    width, height = flowable.wrap(600, 800)
    assert width == 532
    assert height == pytest.approx(532 * drawn.height / drawn.width)
