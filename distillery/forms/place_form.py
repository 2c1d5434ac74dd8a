"""One place of a walked count: only the boxes that its kind of holding is counted by.

These forms draw and read; the count's own form checks, so that a place and a whole count are
held to the same rules.
"""

from typing import Any

from distillery.counts import BOTTLES, BULK
from distillery.forms.base import RecordForm
from distillery.forms.fields import QuantityField, TextField, WhenField, YesField
from distillery.forms.gauge import GaugePart
from distillery.forms.parts import Part, PartField

AS_BOOK = "There, as the book says"
EMPTY = "Empty or missing"


class FoundBulk(GaugePart):
    """Bulk spirits: a gauge."""

    empty = YesField(label=EMPTY)

    def clean(self) -> dict[str, Any]:
        """The count's own form checks."""
        return self.cleaned_data


class FoundBottles(Part):
    """Bottles of one lot."""

    bottles = QuantityField("count", required=False, label="Bottles found")
    empty = YesField(label="None")


class FoundAmount(Part):
    """A material or a wash."""

    quantity = TextField(label="Found, like 1,900 lb or 210 gal")
    empty = YesField(label=EMPTY)


class BulkShown(FoundBulk):
    """The same where the book's figure is shown."""

    as_book = YesField(label=AS_BOOK)


class BottlesShown(FoundBottles):
    """The same where the book's figure is shown."""

    as_book = YesField(label=AS_BOOK)


class AmountShown(FoundAmount):
    """The same where the book's figure is shown."""

    as_book = YesField(label=AS_BOOK)


BLIND = (FoundBulk, FoundBottles, FoundAmount)
SHOWN = (BulkShown, BottlesShown, AmountShown)


def place_form(account: str, *, is_blind: bool) -> type[RecordForm]:
    """The form for a holding in *account*; blind, nobody can say "as the book says"."""
    bulk, bottles, amount = BLIND if is_blind else SHOWN
    part = bulk if account in BULK else bottles if account in BOTTLES else amount

    class PlaceForm(RecordForm):
        """What was found, and when."""

        note = None  # type: ignore[assignment]
        at = WhenField(label="Counted")
        found = PartField(part, label="Found")

    return PlaceForm
