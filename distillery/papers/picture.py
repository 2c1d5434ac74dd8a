"""A chart on paper: black lines told apart by form and mark, the words a screen has too."""

from dataclasses import dataclass

from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable

from distillery.curves.chart import Chart, DrawnLine, DrawnPanel, Spot
from distillery.papers.paper import Note

FONT, BOLD, SIZE = "Helvetica", "Helvetica-Bold", 9
DASHES = {"dashed": (6, 4), "dotted": (1, 3)}
GROUND = 0.9  # of the band: light enough for words, and its edges are drawn
# A line under a panel's grid must not be taken for a figure.
HAIR, RULED, DRAWN = 0.3, 0.6, 1.4
_SPELLED = str.maketrans({"−": "-", "№": "No."})


@dataclass(frozen=True, slots=True)
class Picture(Note):
    """A chart, with its caption as the note under it."""

    chart: Chart


class ChartDrawing(Flowable):
    """The chart at the width it is given."""

    def __init__(self, chart: Chart, width: float) -> None:
        super().__init__()
        self.chart, self.scale = chart, width / chart.width
        self.width, self.height = width, chart.height * self.scale

    def wrap(self, *_: float) -> tuple[float, float]:
        """The room it takes."""
        return self.width, self.height

    def draw(self) -> None:
        """Band and rules under, lines and words over."""
        canvas = self.canv
        canvas.saveState()
        canvas.scale(self.scale, self.scale)
        for panel in self.chart.panels:
            self._ground(panel)
        self._events()
        for panel in self.chart.panels:
            for line in panel.lines:
                self._line(line)
        for x, words in self.chart.ticks:
            self._rule((x, self.chart.bottom), (x, self.chart.bottom + 6), RULED)
            self._words((x, self.chart.bottom + 20), words, align="middle")
        canvas.restoreState()

    def _up(self, spot: Spot) -> tuple[int, int]:
        """A PDF counts from below."""
        return spot[0], self.chart.height - spot[1]

    def _rule(self, start: Spot, end: Spot, width: float, dash: tuple[int, ...] = ()) -> None:
        self.canv.setLineWidth(width)
        self.canv.setDash(*([list(dash)] if dash else []))
        self.canv.line(*self._up(start), *self._up(end))

    def _words(self, spot: Spot, words: str, *, font: str = FONT, align: str = "start") -> None:
        x, y = self._up(spot)
        words, size = words.translate(_SPELLED), SIZE * 1.35
        if font == BOLD:  # a line may run under them
            self.canv.setFillGray(1)
            self.canv.rect(x - 1, y - 3, stringWidth(words, font, size) + 2, size, 0, 1)
            self.canv.setFillGray(0)
        self.canv.setFont(font, size)
        draw = {
            "start": self.canv.drawString, "end": self.canv.drawRightString,
            "middle": self.canv.drawCentredString,
        }[align]  # fmt: skip
        draw(x, y, words)

    def _ground(self, panel: DrawnPanel) -> None:
        chart = self.chart
        if panel.band:
            path = self.canv.beginPath()
            path.moveTo(*self._up(panel.band[0]))
            for spot in panel.band[1:]:
                path.lineTo(*self._up(spot))
            path.close()
            self.canv.setFillGray(GROUND)
            self.canv.setLineWidth(HAIR)
            self.canv.drawPath(path, stroke=1, fill=1)
            self.canv.setFillGray(0)
        for y, words in panel.rules:
            self._rule((chart.left, y), (chart.right, y), HAIR)
            self._words((chart.left - 8, y + 4), words, align="end")
        self._words((chart.left, panel.top - 10), panel.title, font=BOLD)

    def _events(self) -> None:
        for one in self.chart.events:
            for start, end in one.strokes:
                self._rule((one.x, start), (one.x, end), RULED, (3, 3))
            self._words((one.x + 4, one.y + 11), one.words, font=BOLD)

    def _line(self, line: DrawnLine) -> None:
        canvas = self.canv
        path = canvas.beginPath()
        path.moveTo(*self._up(line.spots[0]))
        for spot in line.spots[1:]:
            path.lineTo(*self._up(spot))
        canvas.setLineWidth(DRAWN)
        canvas.setDash(*([list(DASHES[line.form])] if line.form in DASHES else []))
        canvas.drawPath(path)
        canvas.setDash()
        canvas.setFillGray(1)
        for x, y in (self._up(spot) for spot in line.spots):
            canvas.setLineWidth(RULED)
            if line.mark == "dot":
                canvas.circle(x, y, 3.2, fill=1)
            elif line.mark == "square":
                canvas.rect(x - 3, y - 3, 6, 6, fill=1)
        canvas.setFillGray(0)
        self._words((line.end[0] + 10, line.end[1] + 4), line.words, font=BOLD)
