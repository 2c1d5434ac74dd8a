"""A long history for the speed figures: loaded in bulk, yet sealed and whole like a posted one.

Each working day of the invented plant is 36 movements: neutral spirits received, 14 barrels
filled, 14 dumped, a tank reduced, a batch bottled, four lots removed. 26 days a month make
936 movements, nine years about 100,000.
"""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta

from django.db import transaction

from ledger.closing import total_rows
from ledger.models import (
    Descent,
    Entry,
    FlowTotal,
    Holding,
    Lot,
    Movement,
    Period,
    Premises,
    Vessel,
)
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.posting import next_month
from ledger.seal import lot_facts, seal, sealing_text
from ledger.writing import descents_of, designations_for, head_facts, numbered, plan_facts
from tests.world import make_barrels

DAYS = 26
AGED = 20  # days a barrel stays filled
FIRST = date(2018, 1, 1)  # the rates of 2018 are the oldest that the tax figure knows
BARRELS = 14  # filled, and dumped, each day
KINDS = [("whisky", "bourbon"), ("rum", ""), ("gin", ""), ("vodka", ""), ("spirits_190", "")]
FACTS = ("class_code", "type_code", "source", "form", "material", "redistilled", "reduced_rate")


def spirits(code, day, **facts):
    class_code, type_code = KINDS[day % len(KINDS)]
    facts = {"class_code": class_code, "type_code": type_code, "material": "grain"} | facts
    return NewLot(code, "spirits", "pg", "Spirits", **facts)


def barrel(day, index):
    return f"B-{(day % 25) * BARRELS + index:03d}"


def received(day):
    lot, to = spirits(f"N{day}", day), Place("storage", f"N{day}", "NS")
    leg = Leg(Place("other_plant", lot.code), to, "receive", 0, 11200, 21280, proof=1900)
    return Plan((leg,), (lot,))


def filled(day):
    tank = Place("storage", f"N{day}", "NS")
    legs = [
        Leg(tank, Place("storage", f"N{day}", barrel(day, n)), "fill", 0, 800, 1520,
            proof=1900, cooperage="new")
        for n in range(BARRELS)
    ]  # fmt: skip
    return Plan(tuple(legs))


def dumped(day):
    old, code = f"N{day - AGED}", f"P{day}"
    legs = [
        Leg(Place("storage", old, barrel(day - AGED, n)), Place("processing", code, "P-1"),
            "transfer", 0, 800, 1520, proof=1900)
        for n in range(BARRELS)
    ]  # fmt: skip
    return Plan(tuple(legs), (spirits(code, day - AGED),))


def reduced(day):
    place = Place("processing", f"P{day}", "P-1")
    return Plan((Leg(Place("water", place.lot), place, "reduce", 0, 10080),))


def bottled(day):
    code = f"K{day}"
    lot = spirits(code, day - AGED, form="bottled")
    lot = NewLot(code, "bottled", "bottle", "Bottles",
                 **{name: getattr(lot, name) for name in FACTS},
                 bottle_ml=750, per_case=6, label_proof=1000)  # fmt: skip
    to = Place("finished", code, "STORE")
    legs = (
        Leg(Place("processing", f"P{day}", "P-1"), to, "bottle", 0, 21280, 21280),
        Leg(Place("glass", code), to, "bottle", 920),
    )
    return Plan(legs, (lot,))


def removed(day):
    """Four lots leave; of every twentieth a few bottles stay, as a plant keeps some back."""
    legs = []
    for lot in range(day - 3, day + 1):
        three = (229, 5300, 5300) if lot % 20 == 0 else (230, 5320, 5320)
        place = Place("finished", f"K{lot}", "STORE")
        legs.append(Leg(place, Place("tax_determined", place.lot), "remove", *three, taxed=True))
    return Plan(tuple(legs), document="INV-{n}")


def acts_of(day):
    """(operation, plan) of one working day."""
    yield "receive-in-bond", received(day)
    yield "fill-barrels", filled(day)
    if day >= AGED:
        yield "dump", dumped(day)
        yield "reduce", reduced(day)
        yield "bottle", bottled(day)
    if day >= AGED + 3:
        yield "remove", removed(day)


@dataclass
class Loader:
    """Writes months of acts in bulk, keeping what posting keeps."""

    premises: Premises
    vessels: dict[str, Vessel] = field(default_factory=dict)
    lots: dict[str, Lot] = field(default_factory=dict)
    held: dict = field(default_factory=lambda: defaultdict(lambda: [0, 0, 0, None, None]))
    kinds: dict = field(default_factory=dict)

    def load(self, months: int) -> int:
        """Load *months* from FIRST on, all but the last closed; the number of movements."""
        make_barrels(self.premises, *(f"B-{n:03d}" for n in range(25 * BARRELS)), rated=53)
        self.vessels = {row.code: row for row in Vessel.objects.filter(premises=self.premises)}
        month, count = FIRST, 0
        with transaction.atomic():
            for index in range(months):
                period = Period.objects.create(premises=self.premises, month=month)
                count += self.month(period, index)
                if index < months - 1:
                    self.close(period)
                month = next_month(month)
            self.keep_holdings()
            self.premises.save()
        return count

    def month(self, period: Period, index: int) -> int:
        entries, lots, movements = [], [], []
        for number in range(DAYS):
            at = datetime(period.month.year, period.month.month, number + 1, 15, tzinfo=UTC)
            for operation, plan in acts_of(index * DAYS + number):
                at += timedelta(minutes=20)
                entry, new, legs = self.entry(operation, plan, period, at)
                entries.append(entry)
                lots.extend(new)
                movements.extend(legs)
        Entry.objects.bulk_create(entries)
        Lot.objects.bulk_create(lots)
        # The rows were put together before entries and lots had ids.
        for row in movements:
            row.entry, row.from_lot, row.to_lot = row.entry, row.from_lot, row.to_lot
        Movement.objects.bulk_create(movements)
        Descent.objects.bulk_create(
            Descent(
                parent_id=parent, child_id=child, amount=sums[0], wine_gallons=sums[1],
                proof_gallons=sums[2],
            )
            for (parent, child), sums in descents_of(movements).items()
        )  # fmt: skip
        return len(movements)

    def entry(self, operation, plan, period, at):
        premises = self.premises
        premises.last_number += 1
        plan = numbered(plan, premises.last_number)
        entry = Entry(
            premises=premises, number=premises.last_number, operation=operation, happened_at=at,
            recorded_at=at, period=period, by="ada", key=f"s-{premises.last_number}", form="{}",
            document=plan.document,
        )  # fmt: skip
        new = [self.lot(lot, entry) for lot in plan.lots]
        text = sealing_text(
            head_facts(entry, premises.registry),
            [lot_facts(lot) for lot in new],
            [plan_facts(leg) for leg in plan.legs],
        )
        entry.seal = premises.last_seal = seal(premises.last_seal, text)
        premises.last_happened_at = at
        return entry, new, [self.movement(leg, n, entry) for n, leg in enumerate(plan.legs, 1)]

    def lot(self, new, entry):
        facts = tuple(getattr(new, name) for name in FACTS)
        if facts not in self.kinds:
            self.kinds |= designations_for([new])
        lot = Lot(
            premises=self.premises, code=new.code, opened_by=entry, designation=self.kinds[facts],
            **{name: getattr(new, name) for name in Lot.FACTS},
        )  # fmt: skip
        self.lots[new.code] = lot
        return lot

    def movement(self, leg, number, entry):
        before, after = self.lots[leg.origin.lot], self.lots[leg.to.lot]
        out, into = self.vessels.get(leg.origin.vessel), self.vessels.get(leg.to.vessel)
        three = (leg.amount, leg.wine_gallons, leg.proof_gallons)
        for sign, place in ((-1, leg.origin), (1, leg.to)):
            if place.vessel:
                self.stand(place, [sign * value for value in three], entry.happened_at)
        return Movement(
            entry=entry, leg=number, period=entry.period, at=entry.happened_at,
            from_account=leg.origin.account, from_lot=before, from_vessel=out,
            to_account=leg.to.account, to_lot=after, to_vessel=into,
            purpose=leg.purpose, amount=three[0], wine_gallons=three[1], proof_gallons=three[2],
            proof=leg.proof, from_designation=before.designation,
            to_designation=after.designation, from_vessel_kind=out.kind if out else "",
            to_vessel_kind=into.kind if into else "", cooperage=leg.cooperage, taxed=leg.taxed,
        )  # fmt: skip

    def stand(self, place, three, at):
        row = self.held[(place.account, place.lot, place.vessel)]
        for index, value in enumerate(three):
            row[index] += value
        row[3] = row[3] or at
        row[4] = at

    def close(self, period):
        FlowTotal.objects.bulk_create(total_rows(self.premises, period))
        period.state, period.closed_by = Period.State.CLOSED, "ada"
        period.closed_at = self.premises.last_happened_at + timedelta(days=5)
        period.closed_number = self.premises.last_number
        period.closed_seal = self.premises.last_seal
        period.save()
        self.premises.closed_through = period.month

    def keep_holdings(self):
        Holding.objects.bulk_create(
            Holding(
                premises=self.premises, lot=self.lots[lot], vessel=self.vessels[vessel],
                account=account, amount=row[0], wine_gallons=row[1], proof_gallons=row[2],
                since=row[3], last_at=row[4],
            )
            for (account, lot, vessel), row in self.held.items()
        )  # fmt: skip
