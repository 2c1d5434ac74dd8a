"""The trace at a million movements against its bare recursive query with names, in one run.

    python -m pytest -m bench -s tests/bench/test_tracing.py

Aim: at most twice the bare query. ``TRACE_DAYS`` makes a smaller book.
"""

import os
from time import perf_counter

import pytest
from django.db import connection

from distillery.tracing.story import Story
from distillery.tracing.told import as_csv, rows_of
from ledger.models import Lot
from ledger.tracing import trace
from tests.bench.rounds_book import RoundsBook
from tests.bench.timing import counted, milliseconds, tell

pytestmark = [pytest.mark.bench, pytest.mark.django_db(transaction=True)]
DAYS = int(os.environ.get("TRACE_DAYS", "7560"))
ROUNDS = 5
BARE = """
WITH RECURSIVE kin(id) AS (
  SELECT CAST(%s AS bigint)
  UNION
  SELECT d.{far} FROM kin CROSS JOIN ledger_descent d WHERE d.{near} = kin.id
)
SELECT l.id, l.code, l.stage, l.name FROM kin CROSS JOIN ledger_lot l WHERE l.id = kin.id
"""
SIDES = {"back": ("parent_id", "child_id"), "forward": ("child_id", "parent_id")}


def bare(lot, way):
    far, near = SIDES[way]
    with connection.cursor() as cursor:
        cursor.execute(BARE.format(far=far, near=near), [lot.pk])
        return cursor.fetchall()


def compare(code, way):
    lot = lot_of(code)
    found = trace(lot, way)
    assert len(found.kin) == len(bare(lot, way)) - 1
    with counted() as queries:
        trace(lot, way)
    floor = milliseconds(lambda: bare(lot, way), ROUNDS)
    taken = milliseconds(lambda: trace(lot, way), ROUNDS)
    tell(
        f"  {way} from {code}: {len(found.kin):,} lots, {len(found.shown()):,} over 0.1 %: "
        f"{taken:.1f} ms, bare with names {floor:.1f} ms, {taken / floor:.2f}x, "
        f"{len(queries)} queries"
    )


def test_the_trace_against_its_bare_query():
    book = RoundsBook()
    start = perf_counter()
    count = book.fill(DAYS)
    tell(f"loaded {count:,} movements, {len(book.lots):,} lots in {perf_counter() - start:.0f} s")
    last = DAYS - 1
    for code, way in [
        ("K-200", "back"), (f"K-{last}", "back"), (f"Corn-{last - last % 10}", "forward"),
        ("Corn-0", "forward"), (f"W-{last - 300}", "forward"),
    ]:  # fmt: skip
        compare(code, way)
    for code in (f"K-{last}", f"Corn-{(last - 300) // 10 * 10}"):
        lot = lot_of(code)
        with counted() as queries:
            as_csv(Story(lot))
        taken = milliseconds(lambda lot=lot: as_csv(Story(lot)), 3)
        tell(f"  both ways of {code} with removals as CSV: {taken:.0f} ms, {len(queries)} queries")
    whole = milliseconds(lambda: list(rows_of(Story(lot_of(f"K-{last}"), is_whole=True))))
    tell(f"  every lot that K-{last} came from as rows: {whole:.0f} ms")


def lot_of(code):
    return Lot.objects.select_related("premises").get(code=code)
