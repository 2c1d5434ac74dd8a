"""Move barrels in the warehouse: where each stands now."""

from typing import Any

from distillery import barrel_life
from distillery.barrel_life import gone_question
from distillery.forms import RecordForm, TextField
from distillery.forms.barrels_field import BarrelsField
from distillery.operations.base import Fields, Operation
from ledger.models import Entry
from ledger.plan import Plan


class MoveBarrelsForm(RecordForm):
    """Which barrels, and where to."""

    barrels = BarrelsField(label="Barrels, like B-101..B-112, B-120")
    place = TextField(required=True, max_length=60, label="Place, like Rack 2, row 3, tier 1")


class MoveBarrels(Operation):
    """Nothing leaves its account: a record of where each barrel stands."""

    slug = "move-barrels"
    title = "Move barrels"
    group = "Store"
    form = MoveBarrelsForm
    hazards = ("barrels", "lifting", "leak")
    kinds = ("barrel",)
    accounts = ("", "storage", "processing", "redistil")
    vessel_field = "barrels"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """No leg: spirits stay where they are in the book."""
        barrels = fields["barrels"]
        codes = ", ".join(one.code for one in barrels)
        line = f"{codes} to {fields['place']}."
        return Plan(lines=(line,), questions=gone_question(barrels))

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """Each barrel's place."""
        barrel_life.note_moved(entry, fields["barrels"], fields["place"])

    def taken_back(self, entry: Entry) -> None:
        """They stand where they stood before."""
        barrel_life.take_back(entry)
