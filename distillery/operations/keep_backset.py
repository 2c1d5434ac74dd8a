"""Keep stillage of a run as backset for a mash to come (27 CFR 19.584(b): material used)."""

from typing import Any

from django.db.models import Sum

from distillery.forms import CodeField, QuantityField, RecordForm, VesselField
from distillery.forms.past_lot_field import PastLotField
from distillery.operations.base import Fields, Operation
from distillery.operations.ferment_reading import PhField
from distillery.plans import room_question, wg
from ledger.accounts import ACCOUNTS
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Lot, Movement
from ledger.plan import Leg, NewLot, Place, Plan, Question
from ledger.quantities import to_hundredths


class KeepBacksetForm(RecordForm):
    """Of which run, how much, where it is kept, and how sour and warm it is."""

    run = PastLotField("run", label="Run")
    volume = QuantityField("volume", above=1, label="Backset kept")
    into = VesselField("tank", "tote", "bin", "tun", label="Kept in")
    temperature = QuantityField("temperature", required=False, label="Temperature")
    ph = PhField(label="pH")
    lot = CodeField(label="Our lot code, empty for the next number")


class KeepBackset(Operation):
    """Residue comes back as a material in gallons; the run is a parent of what it goes into."""

    slug = "keep-backset"
    title = "Keep backset"
    group = "Materials and mash"
    form = KeepBacksetForm
    hazards = ("stillage", "hot_liquor")
    kinds = ("tank", "tote", "tun")
    accounts = ("", "materials")
    vessel_field = "into"
    is_rare = True

    def plan(self, fields: Fields, look: Any) -> Plan:
        """One new material lot out of the run's residue."""
        run, into, code = fields["run"], fields["into"], fields["lot"] or "G-{n}"
        volume = to_hundredths(fields["volume"])
        other = next((held for held in look(into.code) if held.account != "materials"), None)
        if other:
            raise BadFact(
                f"{into.code} holds lot {other.lot.code} in {ACCOUNTS[other.account].title}. "
                "Choose another vessel.",
                field="into",
            )
        lot = NewLot(
            code, "material", "gal", f"Backset of {run.code}"[:80], material="backset",
            producer=f"run {run.code}",
        )  # fmt: skip
        leg = Leg(
            Place("residue", run.code), Place("materials", code, into.code), "backset", volume
        )
        return Plan(
            (leg,), (lot,), lines=(f"{wg(volume)} of stillage of {run.code} into {into.code}.",),
            questions=(*_too_much(look, run, volume), *room_question(into, volume, look)),
        )  # fmt: skip


def _too_much(look: Look, run: Lot, volume: int) -> tuple[Question, ...]:
    """Asks when more is kept than the run left as stillage."""
    rows = Movement.objects.filter(from_lot=run, at__lte=look.at)
    left = rows.filter(to_account="residue").aggregate(sum=Sum("wine_gallons"))["sum"] or 0
    kept = rows.filter(purpose="backset").aggregate(sum=Sum("amount"))["sum"] or 0
    if not left or kept + volume <= left:
        return ()
    text = f"{run.code} left {wg(left)} of stillage, and this makes {wg(kept + volume)} kept. Keep?"
    return (Question("more-than-stillage", text),)
