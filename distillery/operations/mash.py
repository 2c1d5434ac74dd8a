"""Mash: grain and water from several tuns into one fermenter (27 CFR 19.584(a), (c))."""

from typing import Any

from distillery.forms import CodeField, Part, QuantityField, RecordForm, RowsField, VesselField
from distillery.material_draws import DrawPart, draw_legs, told
from distillery.models import Reading, ReadingVoid
from distillery.operations.base import Fields, Operation
from distillery.plans import move, room_question, wg
from distillery.starch import expected, starch
from distillery.wash import wash_in
from ledger.errors import KeyConflict
from ledger.looking import Held, Look
from ledger.models import Entry
from ledger.plan import Leg, NewLot, Place, Plan, Question, Slip
from ledger.quantities import to_hundredths


class TunPart(Part):
    """One tun of the mash: what it gave and how warm it was."""

    tun = VesselField("tun", label="Tun")
    volume = QuantityField("volume", above=1, label="Mash in it")
    temperature = QuantityField("temperature", required=False, label="Mash temperature")


class MashForm(RecordForm):
    """The grain bill, the tuns, the water, and the wash that came of it."""

    grains = RowsField(DrawPart, label="Grain")
    tuns = RowsField(TunPart, required=False, label="Tuns")
    water = QuantityField("volume", required=False, label="Water, all together")
    enzymes = RowsField(DrawPart, required=False, label="Backset, enzymes and other additions")
    strike = QuantityField("temperature", required=False, label="Strike water temperature")
    rest = QuantityField("temperature", required=False, label="Rest temperature")
    into = VesselField("fermenter", label="Into fermenter")
    wash = QuantityField("volume", above=1, label="Wash in the fermenter, measured")
    gravity = QuantityField("gravity", required=False, label="Original gravity")
    lot = CodeField(label="Our lot code, empty for the next number")


class Mash(Operation):
    """Pounds leave the bins, gallons of wash arrive in the fermenter, as one mash lot."""

    slug = "mash"
    title = "Mash"
    group = "Materials and mash"
    form = MashForm
    hazards = ("hot_liquor", "grain_dust", "confined_space")
    kinds = ("fermenter",)
    accounts = ("",)
    vessel_field = "into"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """One wash lot; on a heel of wash it takes the heel along."""
        code, vessel = fields["lot"] or "W-{n}", fields["into"]
        grains = fields["grains"]
        heel = wash_in(look, vessel.code, field="into")
        to = Place("fermenting", code, vessel.code)
        wash = to_hundredths(fields["wash"])
        names = ", ".join(dict.fromkeys(row["lot"].name for row in grains))
        most = max(grains, key=lambda row: row["amount"])["lot"]
        lot = NewLot(code, "wash", "gal", f"Mash: {names}"[:80], material=most.designation.material)
        legs = (
            *draw_legs(look, grains, into=code, purpose="mash", field="grains"),
            *draw_legs(look, fields["enzymes"], into=code, purpose="mash", field="enzymes"),
            *(move(row, to, "move") for row in heel),
            Leg(Place("mashed", code), to, "mash", 0, wash),
        )
        slips, questions = self._alcohol(fields, look)
        return Plan(
            legs, (lot,), slips=slips,
            lines=(f"{', '.join(told(row['lot'], row['amount']) for row in grains)}.",
                   f"{wg(wash)} of wash in {vessel.code}."),
            questions=(*questions, *self._room(fields, look, heel)),
        )  # fmt: skip

    def _alcohol(self, fields: Fields, look: Look) -> tuple[tuple[Slip, ...], tuple[Question, ...]]:
        bill = starch(look, fields["grains"])
        if not bill:
            return (), ()
        slip, questions = expected(bill, fields["wash"])
        return (slip,), questions

    def _room(self, fields: Fields, look: Look, heel: list[Held]) -> tuple[Question, ...]:
        wash = to_hundredths(fields["wash"]) + sum(row.wine_gallons for row in heel)
        asked = list(room_question(fields["into"], wash, look))
        for row in fields["tuns"]:
            asked += room_question(row["tun"], to_hundredths(row["volume"]), look)
        if heel:
            asked.append(
                Question(
                    "onto-heel",
                    f"{fields['into'].code} still holds {wg(heel[0].wine_gallons)} of "
                    f"{heel[0].lot.code}. Mash onto it, as one new lot?",
                )
            )
        return tuple(asked)

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """The original gravity is the first reading of the ferment."""
        if fields["gravity"] is not None:
            if Reading.objects.filter(premises=entry.premises, key=entry.key).exists():
                raise KeyConflict(f"The key “{entry.key}” was used for a reading. Give another.")
            Reading.objects.create(
                premises=entry.premises, key=entry.key, vessel=fields["into"],
                lot=entry.lots_opened.get(), at=entry.happened_at, by=entry.by,
                gravity=fields["gravity"], form=entry.form,
            )  # fmt: skip

    def taken_back(self, entry: Entry) -> None:
        """The gravity of a mash that was not does not count; it stays on record."""
        row = Reading.objects.standing().filter(premises=entry.premises, key=entry.key).first()
        if row:
            back = Entry.objects.get(reverses=entry)
            ReadingVoid.objects.create(
                premises=entry.premises, key=back.key, reading=row, by=back.by,
                reason=back.reason, form=back.form,
            )  # fmt: skip
