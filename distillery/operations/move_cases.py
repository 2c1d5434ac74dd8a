"""Move cases from one store to another, within the account they stand in."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottled import carried
from distillery.cased import ACCOUNTS, CasedPart, count_in, standing
from distillery.forms import RecordForm, RowsField, VesselField, YesField
from distillery.operations.base import Fields, Operation
from distillery.plans import move, place
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.plan import Leg, Place, Plan


class MoveCasesForm(RecordForm):
    """From where to where, and which."""

    vessel = VesselField("store", label="From")
    to = VesselField("store", label="To")
    rows = RowsField(CasedPart, required=False, label="Cases and bottles")
    everything = YesField(label="All that stands there")

    def clean(self) -> dict[str, Any]:
        """Rows, or everything."""
        data = super().clean() or {}
        if not self.errors and bool(data["rows"]) == data["everything"]:
            raise ValidationError({"rows": "Give the cases moved, or tick that it is all."})
        return data


class MoveCases(Operation):
    """The lots stay what they are; only the store changes."""

    slug = "move-cases"
    title = "Move cases"
    group = "Process and bottle"
    form = MoveCasesForm
    hazards = ("lifting",)
    kinds = ("store",)
    accounts = ACCOUNTS
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """One movement a lot."""
        source, to = fields["vessel"], fields["to"]
        if source == to:
            raise BadFact("These are the same store. Choose another to move into.", field="to")
        legs = self._all(look, source, to) if fields["everything"] else self._rows(fields, look)
        lines = tuple(
            f"{leg.amount:,} bottles of lot {leg.origin.lot} from {source.code} to {to.code}."
            for leg in legs
        )
        return Plan(legs, lines=lines)

    def _all(self, look: Look, source: Any, to: Any) -> tuple[Leg, ...]:
        found = look.in_account(source.code, *ACCOUNTS)
        if not found:
            raise BadFact(f"The book has no bottles in {source.code} then.", field="vessel")
        return tuple(
            move(held, Place(held.account, held.lot.code, to.code), "move") for held in found
        )

    def _rows(self, fields: Fields, look: Look) -> tuple[Leg, ...]:
        legs = []
        seen: set[str] = set()
        for row in fields["rows"]:
            code = row["lot"].code
            if code in seen:
                raise BadFact(f"Lot {code} stands in two rows; make them one.", field="rows")
            seen.add(code)
            held = standing(look, row, fields["vessel"])
            bottles = count_in(row)
            end = Place(held.account, code, fields["to"].code)
            legs.append(Leg(place(held), end, "move", bottles, *carried(held, bottles)))
        return tuple(legs)
