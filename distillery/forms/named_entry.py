"""A form that names an entry of the book by its number."""

from django.core.exceptions import ValidationError

from distillery.forms.base import RecordForm
from distillery.forms.fields import QuantityField
from ledger.errors import NotReversible
from ledger.models import Entry
from ledger.reversing import entry_numbered


class NamedEntryForm(RecordForm):
    """Base of what takes back or corrects: the number, as the Entry it names."""

    entry = QuantityField("count", above=1, label="Number of the entry")

    def clean_entry(self) -> Entry:
        """The entry. Raises ValidationError when this plant has none of that number."""
        try:
            return entry_numbered(self.premises, int(self.cleaned_data["entry"]))
        except NotReversible as error:
            raise ValidationError(str(error)) from error
