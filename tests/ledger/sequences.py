"""Random acts for the property tests: legal, absurd, late, taken back, corrected, closed.

``Season`` plays a list of steps through the door and keeps a book of its own, in plain Python
from the plans alone, for the tests to compare with what the database says.
"""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import datetime

from hypothesis import strategies as st

from ledger.closing import close
from ledger.errors import LedgerError
from ledger.models import Entry, Holding, Period, Premises
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.posting import Posted, next_month, record
from ledger.reversing import difference
from ledger.writing import numbered
from tests.ledger.raw import NOW, act, day, post, spirits, take_back

KINDS = (
    "receive", "receive", "receive", "material", "mash", "move", "mingle", "transfer", "transfer",
    "reduce", "contract", "bottle", "bottle", "remove", "lose", "lose", "gain", "relabel",
    "reverse", "reverse", "correct", "close", "forbidden", "negative", "unknown", "nothing",
)  # fmt: skip

STEP = st.fixed_dictionaries(
    {
        "kind": st.sampled_from(KINDS),
        "jump": st.sampled_from([0, 0, 1, 3, 9, 25, -2, -15, -40]),
        "hour": st.sampled_from([4, 15, 15, 23]),
        "pick": st.integers(0, 30),
        "part": st.sampled_from([1, 10, 33, 50, 100, 100, 101, 140]),
        "size": st.integers(1, 90000),
        "strength": st.integers(0, 200),
        "accept": st.booleans(),
        "late": st.sampled_from(["", "open", "amend"]),
    }
)
STEPS = st.lists(STEP, min_size=8, max_size=24)
# Every season begins with something in each account, so that short examples say something too.
OPENING = [
    {"kind": kind, "jump": 1, "hour": 15, "pick": pick, "part": 50, "size": 9000, "strength": 150,
     "accept": False, "late": ""}
    for kind, pick in [
        ("receive", 0), ("receive", 1), ("material", 0), ("mash", 0), ("transfer", 0),
        ("transfer", 1), ("bottle", 0),
    ]
]  # fmt: skip


def _share(row: Holding, part: int) -> tuple[int, int, int]:
    three = (row.amount, row.wine_gallons, row.proof_gallons)
    amount, wine, proof = (value * part // 100 for value in three)
    return amount, wine, proof


def _place(row: Holding) -> Place:
    return Place(row.account, row.lot.code, row.vessel.code)


def _another(vessel: str, first: str, second: str) -> str:
    return second if vessel == first else first


@dataclass
class Season:
    """One run of steps: what was accepted, and the holdings that the plans alone add up to."""

    premises: Premises
    told: dict = field(default_factory=lambda: defaultdict(lambda: [0, 0, 0]))
    accepted: list = field(default_factory=list)
    refused: int = 0
    today: int = 0
    at: datetime | None = None

    def play(self, steps):
        for index, step in enumerate([*OPENING, *steps]):
            try:
                self.step(f"k{index}", step)
            except LedgerError:
                self.refused += 1

    def step(self, key, step):
        kind = step["kind"]
        happened = max(0, self.today + step["jump"])
        self.today = max(self.today, happened)
        self.at = day(happened, step["hour"])
        if kind == "close":
            return self.close_next()
        if kind in ("reverse", "correct"):
            return self.mend(key, step, kind)
        plan = getattr(self, f"plan_{kind}")(step)
        return plan and self.post(key, step, plan)

    def post(self, key, step, plan):
        at = self.at
        more = {"accept_shortage": step["accept"], "late": step["late"], "reason": "late slip"}

        def again():
            return post(self.premises, key, plan, at=at, **more)

        self.note(again(), again)

    def note(self, posted: Posted, again):
        if not posted.is_new:
            return
        self.accepted.append(again)
        for leg in numbered(posted.plan, posted.entry.number).legs:
            three = (leg.amount, leg.wine_gallons, leg.proof_gallons)
            for sign, place in ((-1, leg.origin), (1, leg.to)):
                total = self.told[(place.account, place.lot, place.vessel)]
                for index, value in enumerate(three):
                    total[index] += sign * value

    def close_next(self):
        premises = Premises.objects.get(pk=self.premises.pk)
        rows = Period.objects.filter(premises=premises, state="open").order_by("month")
        first = rows.first()
        if premises.closed_through or first:
            after = premises.closed_through and next_month(premises.closed_through)
            close(premises, after or first.month, by="ada", now=NOW)

    def mend(self, key, step, kind):
        entries = list(Entry.objects.filter(premises=self.premises).order_by("number"))
        if not entries:
            return
        entry = entries[step["pick"] % len(entries)]
        if kind == "reverse":
            take = lambda: take_back(self.premises, entry, key)  # noqa: E731
            self.note(take(), take)
        else:
            self.correct(key, step, entry)

    def correct(self, key, step, entry):
        movement = entry.movements.order_by("leg").first()
        if movement is None:
            return
        wine = movement.wine_gallons * step["part"] // 100
        proof = movement.proof_gallons * step["part"] // 100

        def plan(look):
            return difference(entry, look, leg=1, wine_gallons=wine, proof_gallons=proof)

        def take():
            how = act(key, at=entry.happened_at, corrects=entry, reason="mistyped")
            return record(plan, premises=self.premises, act=how, signed=True, late="amend", now=NOW)

        self.note(take(), take)

    def pick(self, step, *accounts, skip=0):
        rows = Holding.objects.filter(premises=self.premises, account__in=accounts)
        rows = rows.exclude(amount=0, wine_gallons=0, proof_gallons=0).order_by("pk")
        rows = list(rows.select_related("lot", "vessel"))
        return rows[(step["pick"] + skip) % len(rows)] if rows else None

    # Each plan below is one kind of act; None when the book has nothing to do it with.

    def plan_receive(self, step):
        wine = step["size"]
        code, vessel = "N-{n}", ("T-1", "T-2", "B-1")[step["pick"] % 3]
        proof = wine * step["strength"] // 100
        leg = Leg(
            Place("other_plant", code), Place("storage", code, vessel), "receive", 0, wine, proof
        )
        return Plan((leg,), (spirits(code),))

    def plan_material(self, step):
        lot = NewLot("G-{n}", "material", "lb", "Corn", material="grain")
        to = Place("materials", lot.code, "BIN")
        return Plan((Leg(Place("supplier", lot.code), to, "receive", step["size"]),), (lot,))

    def plan_mash(self, step):
        if not (grain := self.pick(step, "materials")):
            return None
        wash, amount = NewLot("W-{n}", "wash", "gal", "Wash"), _share(grain, step["part"])[0]
        return Plan(
            (
                Leg(_place(grain), Place("mashed", wash.code), "mash", amount),
                Leg(Place("mashed", wash.code), Place("fermenting", wash.code, "FV"), "mash",
                    0, step["size"]),
            ),
            (wash,),
        )  # fmt: skip

    def plan_move(self, step):
        if not (row := self.pick(step, "storage")):
            return None
        into = _another(row.vessel.code, "T-1", "B-1")
        to = Place("storage", row.lot.code, into)
        return Plan((Leg(_place(row), to, "move", *_share(row, step["part"])),))

    def plan_mingle(self, step):
        first, second = self.pick(step, "storage"), self.pick(step, "storage", skip=1)
        if not first or first == second:
            return None
        to = Place("storage", "M-{n}", "T-2")
        shares = [(row, _share(row, step["part"])) for row in (first, second)]
        legs = tuple(Leg(_place(row), to, "mingle", *share) for row, share in shares)
        return Plan(legs, (spirits("M-{n}"),))

    def plan_transfer(self, step):
        if not (row := self.pick(step, "storage")):
            return None
        vessel = ("P-1", "P-2")[step["pick"] % 2]
        leg = Leg(_place(row), Place("processing", "B-{n}", vessel), "transfer",
                  *_share(row, step["part"]))  # fmt: skip
        lost = Leg(_place(row), Place("loss", row.lot.code), "dump", 0, 0, 1)
        return Plan((leg, lost), (spirits("B-{n}"),))

    def plan_reduce(self, step):
        if not (row := self.pick(step, "processing")):
            return None
        water = Place("water", row.lot.code)
        return Plan((Leg(water, _place(row), "reduce", 0, step["size"], 0),))

    def plan_contract(self, step):
        if not (row := self.pick(step, "processing")):
            return None
        wine = _share(row, step["part"])[1] // 20
        return Plan((Leg(_place(row), Place("contraction", row.lot.code), "reduce", 0, wine),))

    def plan_bottle(self, step):
        if not (row := self.pick(step, "processing")):
            return None
        lot = NewLot("K-{n}", "bottled", "bottle", "Vodka", class_code="vodka", bottle_ml=750)
        to = Place("finished", lot.code, "ST")
        return Plan(
            (
                Leg(_place(row), to, "bottle", *_share(row, step["part"])),
                Leg(Place("glass", lot.code), to, "bottle", step["pick"] + 1),
            ),
            (lot,),
        )

    def plan_remove(self, step):
        if not (row := self.pick(step, "finished")):
            return None
        to = Place("tax_determined", row.lot.code)
        return Plan((Leg(_place(row), to, "remove", *_share(row, step["part"]), taxed=True),))

    def plan_lose(self, step):
        if not (row := self.pick(step, "storage", "processing", "fermenting")):
            return None
        return Plan(
            (Leg(_place(row), Place("loss", row.lot.code), "spill", *_share(row, step["part"])),)
        )

    def plan_gain(self, step):
        if not (row := self.pick(step, "storage", "processing")):
            return None
        gain = Place("gain", row.lot.code)
        return Plan((Leg(gain, _place(row), "regauge", 0, step["size"], step["size"]),))

    def plan_relabel(self, step):
        return Plan(document=f"note {step['pick']}")

    def plan_forbidden(self, step):
        if not (row := self.pick(step, "processing", "finished")):
            return None
        to = Place("storage", row.lot.code, "T-1")
        return Plan((Leg(_place(row), to, "move", 0, 1, 1),))

    def plan_negative(self, step):
        if not (row := self.pick(step, "storage")):
            return None
        return Plan((Leg(_place(row), Place("loss", row.lot.code), "spill", 0, -step["size"], 0),))

    def plan_unknown(self, step):
        to = Place("storage", "N-{n}", "T-99")
        leg = Leg(Place("other_plant", "N-{n}"), to, "receive", 0, step["size"])
        return Plan((leg,), (spirits("N-{n}"),))

    def plan_nothing(self, step):
        to = Place("storage", "N-{n}", "T-1")
        leg = Leg(Place("other_plant", "N-{n}"), to, "receive", 0, 0, 0)
        return Plan((leg,), (spirits("N-{n}"),))
