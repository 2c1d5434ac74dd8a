"""A canvas that numbers its pages: the foot at the left, "page n of m" at the right."""

from typing import Any

from reportlab.pdfgen.canvas import Canvas

SIZE = 7  # points


class NumberedCanvas(Canvas):
    """Writes the foot and "page n of m" once the number of pages is known."""

    def __init__(self, *args: Any, foot: str, margin: float, **options: Any) -> None:
        super().__init__(*args, **options)
        self._foot, self._margin = foot, margin
        self._pages: list[dict[str, Any]] = []

    def showPage(self) -> None:  # noqa: N802 - reportlab's name
        """Keep the page until its number is known."""
        self._pages.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        """Write every page with its foot."""
        for number, page in enumerate(self._pages, start=1):
            self.__dict__.update(page)
            self.setFont("Helvetica", SIZE)
            below = self._margin - 15
            self.drawString(self._margin, below, self._foot)
            right = f"page {number} of {len(self._pages)}"
            self.drawRightString(self._pagesize[0] - self._margin, below, right)
            super().showPage()
        super().save()
