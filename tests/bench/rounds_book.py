"""A long history for the trace: every working day a mash, a run with yesterday's feints, barrels.

140 movements a day, so that 7,560 days make a million. Each day's run takes the feints of the day
before, so the last bottle descends from every mash there ever was. Rows go in by plain SQL: the
trace reads lots, descents, movements and entries and asks for no seal.
"""

from datetime import UTC, datetime, timedelta

from django.db import connection, transaction

from ledger.models import Descent, Designation, Entry, Lot, Movement, Period, Premises, Vessel
from tests.world import make_plant

FIRST = datetime(2004, 1, 1, 15, tzinfo=UTC)
BARRELS, AGED, REMOVALS = 50, 200, 70
GRAINS = ("Corn", "Rye", "Malt")
GRAIN_DAYS = 10  # a delivery lasts
A_TIME = 20_000  # rows a statement run
COLUMNS = (
    "entry_id", "leg", "period_id", "at", "from_account", "from_lot_id", "from_vessel_id",
    "to_account", "to_lot_id", "to_vessel_id", "purpose", "amount", "wine_gallons",
    "proof_gallons", "from_vessel_kind", "to_vessel_kind", "cooperage", "taxed",
)  # fmt: skip
VESSELS = ("BIN-1", "FV-1", "POT", "RCV-1", "FEINTS", "S-1", "P-1", "STORE")


class RoundsBook:
    """Fills one premises with days of rounds; ``lots`` are ids by code."""

    def __init__(self):
        self.premises: Premises = make_plant()
        rows = Vessel.objects.filter(premises=self.premises, code__in=VESSELS)
        self.vessels = {row.code: row.pk for row in rows} | {"": None}
        self.kind = Designation.objects.create(class_code="whisky").pk
        self.period = Period.objects.create(premises=self.premises, month=FIRST.date()).pk
        self.entries, self.new, self.moves = [], [], []
        self.lots: dict[str, int] = {"": None}
        self.pairs: dict[tuple[int, int], list[int]] = {}

    def fill(self, days):
        """*days* of rounds; the number of movements."""
        count = 0
        with transaction.atomic():
            for day in range(days):
                self.day(day)
                if len(self.moves) >= A_TIME or day == days - 1:
                    count += len(self.moves)
                    self.write()
            Descent.objects.bulk_create(
                Descent(
                    parent_id=parent, child_id=child, amount=sums[0], wine_gallons=sums[1],
                    proof_gallons=sums[2],
                )
                for (parent, child), sums in self.pairs.items()
            )  # fmt: skip
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")
        return count

    def act(self, day, operation, *legs, new=(), document=""):
        number = len(self.lots) * 10 + len(self.entries) + day * 100
        self.serial = getattr(self, "serial", 0) + 1
        at = FIRST + timedelta(days=day, minutes=self.serial % 600)
        entry = Entry(
            pk=self.serial, premises=self.premises, number=self.serial, operation=operation,
            happened_at=at, recorded_at=at, period_id=self.period, by="ada",
            key=f"r-{number}-{self.serial}", seal="", document=document,
            form='{"consignee": "Estuary Wholesale (invented)"}' if document else "{}",
        )  # fmt: skip
        self.entries.append(entry)
        for code, stage, unit in new:
            self.lots[code] = len(self.lots)
            self.new.append(Lot(
                pk=self.lots[code], premises=self.premises, code=code, opened_by=entry,
                designation_id=self.kind, stage=stage, unit=unit, name=f"{stage} {code}",
            ))  # fmt: skip
        for index, leg in enumerate(legs, 1):
            self.move(entry, index, at, *leg)

    def move(self, entry, leg, at, origin, to, purpose, amount, wine, proof):
        (from_account, from_code, out), (to_account, to_code, into) = origin, to
        from_lot, to_lot = self.lots[from_code], self.lots[to_code]
        self.moves.append((
            entry.pk, leg, self.period, at, from_account, from_lot, self.vessels[out], to_account,
            to_lot, self.vessels[into], purpose, amount, wine, proof, "", "", "", False,
        ))  # fmt: skip
        if from_lot and to_lot and from_lot != to_lot:
            sums = self.pairs.setdefault((from_lot, to_lot), [0, 0, 0])
            for place, value in enumerate((amount, wine, proof)):
                sums[place] += value

    def write(self):
        Entry.objects.bulk_create(self.entries)
        Lot.objects.bulk_create(self.new)
        marks = ", ".join(["%s"] * len(COLUMNS))
        table, names = Movement._meta.db_table, ", ".join(COLUMNS)
        with connection.cursor() as cursor:
            cursor.executemany(f"INSERT INTO {table} ({names}) VALUES ({marks})", self.moves)
        self.entries, self.new, self.moves = [], [], []

    def day(self, day):
        if day % GRAIN_DAYS == 0:
            for grain in GRAINS:
                code = f"{grain}-{day}"
                place = ("materials", code, "BIN-1")
                self.act(day, "receive-material",
                         (("supplier", code, ""), place, "receive", 1000000, 0, 0),
                         new=[(code, "material", "lb")])  # fmt: skip
        self.still(day)
        barrel, hearts = ("storage", f"S-{day}", "S-1"), ("production", f"H-{day}", "RCV-1")
        self.act(day, "production-gauge",
                 *[(hearts, barrel, "deposit", 0, 80, 80)] * BARRELS,
                 new=[(f"S-{day}", "spirits", "pg")])  # fmt: skip
        if day >= AGED:
            self.bottle(day)

    def still(self, day):
        since = day - day % GRAIN_DAYS
        wash, run = f"W-{day}", f"R-{day}"
        grains = [
            (("materials", f"{grain}-{since}", "BIN-1"), ("mashed", wash, ""), "mash", pounds, 0, 0)
            for grain, pounds in zip(GRAINS, (65000, 20000, 10000), strict=True)
        ]
        full, still = ("fermenting", wash, "FV-1"), ("production", run, "POT")
        self.act(day, "mash", *grains, (("mashed", wash, ""), full, "mash", 0, 50000, 0),
                 new=[(wash, "wash", "gal")])  # fmt: skip
        legs = [(full, still, "charge", 0, 50000, 0)]
        if day:
            feints = ("production", f"F-{day - 1}", "FEINTS")
            legs.append((feints, still, "charge", 0, 1000, 1000))
        self.act(day, "charge", *legs, new=[(run, "run", "pg")])
        known = 1000 if day else 0
        hearts = ("production", f"H-{day}", "RCV-1")
        tails = ("production", f"F-{day}", "FEINTS")
        legs = [(("distilled", run, ""), hearts, "collect", 0, 4000 - known, 4000 - known),
                (("distilled", run, ""), tails, "collect", 0, 1000, 1000)]  # fmt: skip
        if known:
            legs.append((still, hearts, "cut", 0, known, known))
        self.act(day, "collect", *legs,
                 new=[(hearts[1], "fraction", "pg"), (tails[1], "fraction", "pg")])  # fmt: skip
        self.act(day, "close-run", (still, ("residue", run, ""), "run", 0, 45000, 0))

    def bottle(self, day):
        batch, lot = ("processing", f"B-{day}", "P-1"), f"K-{day}"
        store = ("finished", lot, "STORE")
        old = [("storage", f"S-{day - AGED}", "S-1"), ("storage", f"S-{day - AGED + 1}", "S-1")]
        self.act(day, "dump", *[(place, batch, "transfer", 0, 2000, 2000) for place in old],
                 new=[(batch[1], "batch", "pg")])  # fmt: skip
        self.act(day, "bottle", (batch, store, "bottle", 0, 4000, 4000),
                 (("glass", lot, ""), store, "bottle", REMOVALS * 6, 0, 0),
                 new=[(lot, "bottled", "bottle")])  # fmt: skip
        for number in range(REMOVALS):
            left = ("tax_determined", lot, "")
            self.act(day, "remove", (store, left, "remove", 6, 57, 57),
                     document=f"I-{day}-{number}")  # fmt: skip
