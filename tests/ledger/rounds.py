"""More random acts, for the trace: feints that go round, heels, backset, rework, packing.

The kinds of ``sequences.Season`` open lots by blending and bottling; these go through the still.
"""

from hypothesis import strategies as st

from ledger.plan import Leg, NewLot, Place, Plan
from tests.ledger.sequences import OPENING, STEP, Season, _place, _share

ROUND_KINDS = (
    "material", "mash", "mash", "heel", "charge", "charge", "collect", "collect", "deposit",
    "transfer", "bottle", "pack", "rework", "backset", "sweeten", "pitch", "remove", "reverse",
    "correct", "lose",
)  # fmt: skip
ROUNDS = st.lists(
    st.builds(lambda step, kind: {**step, "kind": kind}, STEP, st.sampled_from(ROUND_KINDS)),
    min_size=10, max_size=30,
)  # fmt: skip
# Every example begins with two rounds through the still.
BEGIN = [
    {**OPENING[0], "kind": kind, "part": 60}
    for kind in ("material", "mash", "charge", "collect", "mash", "charge", "collect", "deposit")
]


def amount_only(row, part):
    return _share(row, part)[0]


class Rounds(Season):
    """A season with a still in it."""

    def play(self, steps):
        super().play([*BEGIN, *steps])

    def plan_heel(self, step):
        grain, heel = self.pick(step, "materials"), self.pick(step, "fermenting")
        if not (grain and heel):
            return None
        wash = NewLot("W-{n}", "wash", "gal", "Wash on a heel")
        to = Place("fermenting", wash.code, "FV")
        return Plan(
            (
                Leg(_place(grain), Place("mashed", wash.code), "mash",
                    amount_only(grain, step["part"])),
                Leg(_place(heel), to, "move", *_share(heel, step["part"])),
                Leg(Place("mashed", wash.code), to, "mash", 0, step["size"]),
            ),
            (wash,),
        )  # fmt: skip

    def plan_pitch(self, step):
        grain, wash = self.pick(step, "materials"), self.pick(step, "fermenting")
        if not (grain and wash):
            return None
        leg = Leg(_place(grain), _place(wash), "pitch", amount_only(grain, 3))
        return Plan((leg,))

    def plan_charge(self, step):
        wash, feints = self.pick(step, "fermenting"), self.pick(step, "production")
        rows = [row for row in (wash, feints) if row]
        if not rows:
            return None
        run = NewLot("R-{n}", "run", "pg", "Run", class_code="whisky")
        to = Place("production", run.code, "STILL")
        legs = tuple(Leg(_place(row), to, "charge", *_share(row, step["part"])) for row in rows)
        return Plan(legs, (run,))

    def plan_collect(self, step):
        run = self.pick(step, "production")
        if not run or run.lot.stage != "run":
            return None
        cut = NewLot("F-{n}", "fraction", "pg", "Fraction", class_code="whisky")
        to = Place("production", cut.code, "T-1")
        legs = [Leg(_place(run), to, "cut", *_share(run, step["part"]))]
        if step["accept"] or not any(_share(run, step["part"])[1:]):
            proof = step["size"] // 10
            legs.append(Leg(Place("distilled", run.lot.code), to, "collect", 0, proof, proof))
        return Plan(tuple(legs), (cut,))

    def plan_deposit(self, step):
        cut = self.pick(step, "production")
        if not cut or cut.lot.stage != "fraction":
            return None
        lot = NewLot("S-{n}", "spirits", "pg", "Spirits", class_code="spirits_190")
        to = Place("storage", lot.code, "T-2")
        leg = Leg(_place(cut), to, "deposit", *_share(cut, step["part"]), cooperage="tank")
        return Plan((leg,), (lot,))

    def plan_backset(self, step):
        run = self.pick(step, "production")
        if not run or run.lot.stage != "run":
            return None
        lot = NewLot("G-{n}", "material", "gal", "Backset")
        to = Place("materials", lot.code, "BIN")
        leg = Leg(Place("residue", run.lot.code), to, "backset", step["size"] // 3 + 1)
        return Plan((leg,), (lot,))

    def plan_sweeten(self, step):
        sugar, batch = self.pick(step, "materials"), self.pick(step, "processing")
        if not (sugar and batch) or sugar.lot.pk > batch.lot.pk:
            return None
        amount = amount_only(sugar, step["part"])
        return Plan((Leg(_place(sugar), _place(batch), "flavor", amount),))

    def plan_pack(self, step):
        batch, corks = self.pick(step, "processing"), self.pick(step, "materials")
        if not (batch and corks):
            return None
        lot = NewLot("K-{n}", "bottled", "bottle", "Vodka", class_code="vodka", bottle_ml=750)
        to = Place("finished", lot.code, "ST")
        return Plan(
            (
                Leg(_place(batch), to, "bottle", *_share(batch, step["part"])),
                Leg(Place("glass", lot.code), to, "bottle", step["pick"] + 1),
                Leg(_place(corks), Place("glass", lot.code), "bottle", amount_only(corks, 5)),
            ),
            (lot,),
        )  # fmt: skip

    def plan_rework(self, step):
        if not (row := self.pick(step, "finished")):
            return None
        lot = NewLot("B-{n}", "batch", "pg", "Rework", class_code="vodka")
        to = Place("processing", lot.code, "P-1")
        amount, wine, proof = _share(row, step["part"])
        legs = [Leg(_place(row), to, "rework", 0, wine, proof)]
        if amount:
            legs.append(Leg(_place(row), Place("glass", row.lot.code), "count", amount))
        return Plan(tuple(legs), (lot,))
