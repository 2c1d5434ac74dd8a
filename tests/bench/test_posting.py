"""Posting an entry against the same rows by bare SQL in one transaction, in the same run.

    python -m pytest -m bench -s tests/bench

Aim: at most 8 times the bare rows on SQLite, 5 times on PostgreSQL, in at most 12 queries.
"""

from datetime import UTC, datetime
from itertools import count

import pytest
from django.db import connection, transaction

from ledger.models import Entry, Holding, Lot, Movement, Premises
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.posting import record
from ledger.writing import Act
from tests.bench.timing import counted, milliseconds, tell
from tests.world import make_barrels, make_plant

pytestmark = [pytest.mark.bench, pytest.mark.django_db(transaction=True)]
ROUNDS = 60
AT = datetime(2026, 3, 10, 15, tzinfo=UTC)
KEYS = count()
KEPT = ("lot_id", "vessel_id", "account")


def post(premises, plan, *codes):
    """Post *plan* as an operation does: it looks at its vessels first."""

    def planner(look):
        look(*codes)
        return plan

    act = Act("bench", AT, "ada", f"bench-{next(KEYS)}", '{"note": "bench"}')
    return record(planner, premises=premises, act=act).entry


def loss():
    return Plan((Leg(Place("storage", "N", "NS"), Place("loss", "N"), "spill", 0, 10, 19),))


def removal():
    return Plan(
        tuple(
            Leg(Place("finished", f"K{n}", "STORE"), Place("tax_determined", f"K{n}"), "remove",
                6, 119, 95, taxed=True)
            for n in range(4)
        ),
        document="INV-{n}",
    )  # fmt: skip


def barrels():
    tank = Place("storage", "N", "NS")
    legs = (Leg(tank, Place("storage", "N", f"B-{n}"), "fill", 0, 10, 19, proof=1900,
                cooperage="new") for n in range(12))  # fmt: skip
    return Plan(tuple(legs))


CASES = {
    "1 leg": (loss, ("NS",)),
    "removal of 4 legs": (removal, ("STORE",)),
    "12 barrels filled": (barrels, ("NS", *(f"B-{n}" for n in range(12)))),
}


@pytest.fixture
def plant():
    premises = make_plant()
    make_barrels(premises, *(f"B-{n}" for n in range(12)))
    neutral = NewLot("N", "spirits", "pg", "Neutral spirits", class_code="spirits_190")
    into = Leg(Place("opening", "N"), Place("storage", "N", "NS"), "opening", 0, 10**8, 19 * 10**7)
    post(premises, Plan((into,), (neutral,)), "NS")
    for n in range(4):
        lot = NewLot(f"K{n}", "bottled", "bottle", "Vodka", class_code="vodka", form="bottled")
        to = Place("finished", lot.code, "STORE")
        leg = Leg(Place("opening", lot.code), to, "opening", 10**6, 2 * 10**7, 16 * 10**6)
        post(premises, Plan((leg,), (lot,)), "STORE")
    return premises


def values(rows, *without):
    """Columns and plain values of model rows, ready for SQL."""
    fields = [f for f in rows[0]._meta.concrete_fields if f.column not in without]
    told = [[f.get_db_prep_save(getattr(row, f.attname), connection) for f in fields]
            for row in rows]  # fmt: skip
    return [f.column for f in fields], told


def insert(table, columns, rows):
    names = ", ".join(f'"{column}"' for column in columns)
    one = f"({', '.join(['%s'] * len(columns))})"
    return f"INSERT INTO {table} ({names}) VALUES {', '.join([one] * len(rows))}"


class Bare:
    """The rows of one posted entry, written again and again by four statements."""

    def __init__(self, entry):
        moves = list(Movement.objects.filter(entry=entry).order_by("leg"))
        touched = {row.from_lot_id for row in moves} | {row.to_lot_id for row in moves}
        held = list(Holding.objects.filter(lot__in=touched, last_at=entry.happened_at))
        vessels = {row.from_vessel_id for row in moves} | {row.to_vessel_id for row in moves}
        held = [row for row in held if row.vessel_id in vessels]
        assert not Lot.objects.filter(opened_by=entry).exists()
        self.premises = entry.premises_id
        self.entry, (self.head,) = values([entry], "id")
        self.columns, self.moves = values(moves, "id")
        holding, self.holdings = values(held, "id")
        sums = ("amount", "wine_gallons", "proof_gallons", "since", "last_at")
        taken = ", ".join(f"{name} = excluded.{name}" for name in sums)
        self.add_entry = insert("ledger_entry", self.entry, [0]) + " RETURNING id"
        self.add_moves = insert("ledger_movement", self.columns, self.moves)
        self.keep = insert("ledger_holding", holding, self.holdings)
        self.keep += f" ON CONFLICT ({', '.join(KEPT)}) DO UPDATE SET {taken}"

    def write(self):
        number = next(KEYS)
        head = dict(zip(self.entry, self.head, strict=True))
        head |= {"number": 10**9 + number, "key": f"bare-{number}"}
        at = self.columns.index("entry_id")
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(self.add_entry, list(head.values()))
            (pk,) = cursor.fetchone()
            flat = [pk if n == at else v for row in self.moves for n, v in enumerate(row)]
            cursor.execute(self.add_moves, flat)
            cursor.execute(self.keep, [value for row in self.holdings for value in row])
            cursor.execute(
                "UPDATE ledger_premises SET last_number = last_number, last_seal = %s "
                "WHERE id = %s",
                [head["seal"], self.premises],
            )


@pytest.mark.parametrize("name", CASES)
def test_posting_against_bare_rows(plant, name):
    make, codes = CASES[name]
    entry = post(plant, make(), *codes)
    bare = Bare(Entry.objects.get(pk=entry.pk))
    premises = Premises.objects.get(pk=plant.pk)
    posted, by_hand = [], []
    for _ in range(ROUNDS):  # in turn, so that both meet the same weather
        by_hand.append(milliseconds(bare.write))
        posted.append(milliseconds(lambda: post(premises, make(), *codes)))
    with counted() as queries:
        post(premises, make(), *codes)
    slow, quick = sorted(posted)[ROUNDS // 2], sorted(by_hand)[ROUNDS // 2]
    tell(
        f"post {name}: {slow:.2f} ms, bare {quick:.2f} ms, {slow / quick:.1f}x, "
        f"{len(queries)} queries"
    )
