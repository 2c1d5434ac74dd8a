"""A reading mistyped, or taken of another vessel: it stays on record and counts no more."""

from json import loads
from typing import Any

from distillery.forms import RecordForm
from distillery.forms.reading_field import ReadingField
from distillery.models import ReadingVoid
from distillery.operations.base import Fields, Operation
from ledger.errors import BadFact, KeyConflict
from ledger.models import Premises
from ledger.plan import Plan


class VoidReadingForm(RecordForm):
    """The reading; the record's own ``reason`` says why."""

    reading = ReadingField(label="Reading")


class VoidReading(Operation):
    """Curves, last values, alarms and timers pass a voided reading over."""

    slug = "void-reading"
    title = "Void a reading"
    group = "Count and correct"
    form = VoidReadingForm
    is_book = False
    kept_at_once = "Voided at once."
    needs_reason = True

    def plan(self, fields: Fields, look: Any) -> Plan:
        """Nothing moves."""
        row = fields["reading"]
        at = row.at.astimezone(row.premises.zone)
        return Plan(lines=(
            f"The reading of {row.vessel.code}, {at:%-d %b %Y %H:%M}, by {row.by} stays on record, "
            "struck through, and counts no more.",
        ))  # fmt: skip

    def takes_back(self, fields: Fields) -> tuple[str, Any] | None:
        """The reading."""
        return "reading", fields["reading"]

    def keep_reading(
        self, fields: Fields, *, premises: Premises, by: str, key: str, form: str
    ) -> tuple[ReadingVoid, bool]:
        """The void and whether it is new. Raises KeyConflict, and BadFact for one voided before."""
        used = ReadingVoid.objects.filter(premises=premises, key=key)
        if used.exclude(reading=fields["reading"]).exists():
            raise KeyConflict(
                f"The key “{key}” was used to void another reading. Give this record its own."
            )
        values = {
            "premises": premises, "key": key, "by": by, "reason": loads(form)["reason"],
            "form": form,
        }  # fmt: skip
        row, is_new = ReadingVoid.objects.get_or_create(reading=fields["reading"], defaults=values)
        if not is_new and (row.key, row.form) != (key, form):
            raise BadFact(f"Voided before by {row.by}: {row.reason}", field="reading")
        return row, is_new
