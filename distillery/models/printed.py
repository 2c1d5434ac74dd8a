"""Cells of the printed gauging tables, as the operator entered them from the manual."""

from decimal import Decimal, InvalidOperation

from django.core.exceptions import ValidationError
from django.db import models

from ledger.gauging import GaugingError
from ledger.gauging.printed_cells import Key, Printed
from ledger.gauging.watchdog import GRIDS, Distance, distance
from ledger.models import Premises


def number(text: str, field: str) -> Decimal:
    """A typed figure as a Decimal. Raises ValidationError beside *field*."""
    try:
        found = Decimal(text)
    except InvalidOperation:
        found = Decimal("NaN")
    if not found.is_finite():
        raise ValidationError({field: f"“{text}” is not a number. Type it as it is printed."})
    return found


class PrintedCell(models.Model):
    """One figure of Publication 5110.6 (27 CFR 30.1); it wins over a computed one.

    ``line`` and ``column`` are the cell's place: reading and degrees F in Table 1, proof and
    degrees F in Table 7, proof alone elsewhere.
    """

    premises = models.ForeignKey(Premises, models.CASCADE, related_name="printed_cells")
    grid = models.CharField("table", max_length=12, choices=[(key, key) for key in GRIDS])
    line = models.CharField(max_length=8, help_text="the hydrometer reading, or the proof")
    column = models.CharField(
        max_length=8, blank=True, help_text="degrees F in Tables 1 and 7; else empty"
    )
    figure = models.CharField(max_length=12, help_text="as it is printed")
    source = models.CharField(max_length=120, help_text="edition and page")
    is_kept_anyway = models.BooleanField(
        "keep it although it is far from the formula", default=False
    )
    entered_at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["premises", "grid", "line", "column"], name="printed_cell_unique"
            )
        ]
        ordering = ["grid", "pk"]

    def __str__(self) -> str:
        return f"Table {self.grid}: {self.line} {self.column} = {self.figure}"

    @property
    def key(self) -> Key:
        """The cell's key in the tables."""
        place = [Decimal(text) for text in (self.line, self.column) if text]
        return (self.grid, *place)

    @property
    def printed(self) -> Printed:
        """The figure with its source."""
        return Printed(Decimal(self.figure), self.source)

    def off(self) -> Distance:
        """How far the figure is from the formula. Raises ValidationError for a wrong place."""
        place = [number(self.line, "line")]
        if self.column:
            place.append(number(self.column, "column"))
        figure = number(self.figure, "figure")
        try:
            grid = GRIDS[self.grid]
            if tuple(place) not in set(grid.places()):
                raise ValidationError({"line": f"Table {self.grid} has no cell at that place."})
            return distance(self.grid, *place, figure=figure)
        except (GaugingError, KeyError) as error:
            raise ValidationError({"grid": str(error)}) from error

    def clean(self) -> None:
        """Refuse a place the table has not; question a figure far from the formula."""
        off = self.off()
        if off.is_doubtful and not self.is_kept_anyway:
            raise ValidationError(
                {
                    "figure": f"The formula gives {off.computed.normalize():f}, "
                    f"{abs(off.difference).normalize():f} away. Read it again, or tick to keep it."
                }
            )
