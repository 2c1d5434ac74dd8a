"""Bottles broken: before casing a loss of the bulk, afterwards one of the finished goods."""

from distillery.bottled import carried, in_store, labelled
from distillery.bottling import finished_lot, run_at, tank_of
from distillery.forms import (
    LotField,
    QuantityField,
    RecordForm,
    RowsField,
    TextField,
    VesselField,
)
from distillery.operations.base import Fields, Operation
from distillery.plans import one_of, pg, place
from distillery.supplies import SupplyPart, supply_legs
from distillery.tested_bottles import TANKS
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.plan import Leg, Place, Plan

STORE = "store"


class BreakBottlesForm(RecordForm):
    """Where it happened tells which account bears it."""

    vessel = VesselField(
        *TANKS, STORE, label="At the line of this tank, before casing; or in this store"
    )
    lot = LotField("bottled", required=False, label="Lot, in a store that holds several")
    bottles = QuantityField("count", above=1, label="Bottles broken")
    case_serials = TextField(max_length=80, label="Case numbers, once cased")
    how = TextField(required=True, max_length=400, label="How it happened")
    seen_by = TextField(max_length=80, label="Seen by")
    materials = RowsField(
        SupplyPart, required=False, label="Empty bottles and closures gone with them"
    )


class BreakBottles(Operation):
    """Breakage at the line is told on line 24 of TTB F 5110.28, in the store on line 44."""

    slug = "break-bottles"
    title = "Record broken bottles"
    group = "Process and bottle"
    form = BreakBottlesForm
    hazards = ("breakage", "ethanol_vapour")
    kinds = (*TANKS, STORE)
    accounts = ("processing", "finished")
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """What the bottles held goes to loss, and the empty ones with it."""
        bottles = int(fields["bottles"])
        if fields["vessel"].kind == STORE:
            held = self._stored(fields, look)
            amount, (wine, proof) = bottles, carried(held, bottles)
        else:
            held, (wine, proof) = self._at_the_line(fields, look, bottles)
            amount = 0
        if fields["vessel"].kind == STORE and fields["materials"]:
            raise BadFact(
                "These bottles were used up when they were filled; leave the empties away.",
                field="materials",
            )
        loss = Leg(place(held), Place("loss", held.lot.code), "breakage", amount, wine, proof)
        told = f"{bottles:,} bottles broken, lot {held.lot.code} in {held.vessel.code}: {pg(proof)}"
        return Plan(
            (loss, *supply_legs(look, fields["materials"])),
            document=fields["case_serials"][:60], lines=(f"{told}. {fields['how']}",),
        )  # fmt: skip

    def _stored(self, fields: Fields, look: Look) -> Held:
        if fields["lot"]:
            return in_store(look, fields["lot"], fields["vessel"])
        found = look.in_account(fields["vessel"].code, "finished")
        if len(found) > 1:
            raise BadFact(f"{fields['vessel'].code} holds several lots. Name the lot.", field="lot")
        return one_of(found, fields["vessel"].code, field="vessel")

    def _at_the_line(
        self, fields: Fields, look: Look, bottles: int
    ) -> tuple[Held, tuple[int, int]]:
        """Filled and not yet recorded as bottled: the tank's book still has the spirits."""
        run = run_at(fields["vessel"], look.at)
        held = tank_of(run, look)
        return held, labelled(finished_lot(run.lot_code, run.product, held.lot), bottles)
