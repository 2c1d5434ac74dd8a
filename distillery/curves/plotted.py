"""A picture with what it says in words and the same figures as rows of text."""

from dataclasses import dataclass

from distillery.curves.chart import Chart


@dataclass(frozen=True, slots=True)
class Plotted:
    """``words`` are what to know at a glance; ``is_odd`` when any of them wants looking at.

    ``voided`` are readings that do not count: the figures, and who voided them and why.
    """

    chart: Chart
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str
    words: tuple[str, ...] = ()
    is_odd: bool = False
    voided: tuple[tuple[str, str], ...] = ()

    @property
    def labelled(self) -> list[list[tuple[str, str]]]:
        """Each row as (head, figure), for screens where a table stands on end."""
        return [list(zip(self.heads, row, strict=True)) for row in self.rows]
