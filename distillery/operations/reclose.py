"""Close bottles anew: a leaking cork, a torn sleeve (27 CFR 19.363, 19.604)."""

from distillery.cased import ACCOUNTS
from distillery.forms import TextField
from distillery.operations.base import Fields, Operation
from distillery.relabelling import HandledForm, handled
from distillery.supplies import supply_legs, told
from ledger.looking import Look
from ledger.plan import Plan, Slip


class RecloseForm(HandledForm):
    """Which bottles, and why."""

    why = TextField(required=True, max_length=200, label="Why")


class Reclose(Operation):
    """A record without a movement of spirits; the closures used leave their shelf."""

    slug = "reclose"
    title = "Reclose bottles"
    group = "Process and bottle"
    form = RecloseForm
    hazards = ("glass",)
    kinds = ("store",)
    accounts = ACCOUNTS
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """What was used up."""
        held, bottles, asked = handled(fields, look)
        line = (
            f"{bottles:,} bottles of lot {held.lot.code}, {fields['case_serials']}, reclosed: "
            f"{fields['why']}."
        )
        slips = (Slip("Closures", told(fields["materials"])),) if fields["materials"] else ()
        return Plan(
            supply_legs(look, fields["materials"]), document=fields["case_serials"][:60],
            lines=(line,), slips=slips, questions=asked,
        )  # fmt: skip
