"""The form that every record goes through, whether from a page, a tablet, a file or the demo."""

from datetime import datetime
from typing import Any

from django import forms

from distillery.forms.fields import OfPremises, TextField, WhenField
from distillery.forms.gauge import GaugeField, OfMoment
from distillery.forms.parts import PartField, PartWidget
from distillery.models import DatedSetting
from ledger.models import Premises


class RecordForm(forms.Form):
    """Base of an operation's form: when it happened and a note; subclasses add the act's fields."""

    at = WhenField(label="When")
    note = TextField(label="Note", max_length=400)

    def __init__(self, *args: Any, premises: Premises, **options: Any) -> None:
        options.setdefault("use_required_attribute", False)
        super().__init__(*args, **options)
        self.premises = premises
        # When and note come last on the page: what is at hand comes first.
        self.order_fields([name for name in self.fields if name not in ("at", "note")])
        for field in self.fields.values():
            self._settle(field)
        for field in self.fields.values():
            if isinstance(field, OfMoment):
                field.moment = self._moment()
            if isinstance(field, GaugeField) and field.step == "record":
                field.record_step = self._record_step()

    def _settle(self, field: forms.Field) -> None:
        """Tell *field* and what draws it which plant they belong to."""
        if isinstance(field, OfPremises):
            field.premises = self.premises
        if isinstance(field.widget, PartWidget):
            field.widget.premises = self.premises
            field.widget.is_checked = self.is_bound
            if isinstance(field, PartField):
                field.widget.part = field.part

    def _moment(self) -> datetime | None:
        """When it happened, for strappings, instruments and settings of that day."""
        when = self.data.get("at") if self.is_bound else None
        try:
            return self.fields["at"].clean(when) if when else None
        except forms.ValidationError:
            return None

    def _record_step(self) -> str:
        moment = self._moment()
        if moment is None:
            return DatedSetting.DEFAULTS[DatedSetting.Name.GAUGE_STEP]
        day = moment.astimezone(self.premises.zone).date()
        return DatedSetting.value_on(self.premises, DatedSetting.Name.GAUGE_STEP, day)
