"""Lines over time, laid out once for the screen and for paper."""

from distillery.curves.chart import Band, Chart, Event, Line, Panel
from distillery.curves.layout import laid_out

__all__ = ["Band", "Chart", "Event", "Line", "Panel", "laid_out"]
