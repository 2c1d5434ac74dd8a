"""The seal chain, recomputed here with hashlib and json alone from the documented format.

sha256 of "book-1" LF previous seal LF text; the text is one JSON list without spaces, in UTF-8:
the entry's own facts, the lots it opened, its legs (ledger/seal.py).
"""

import json
from datetime import UTC, date, datetime
from hashlib import sha256

import pytest

from ledger.models import Entry, Lot, Movement
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.seal import instant
from tests.ledger.raw import DAY, draw, make_plant, post, take_back

pytestmark = pytest.mark.django_db
# The seal of FIRST below, kept here so that no later change of code or database goes unseen.
FIXED = "164b3ce6aa6150f5f1090e19863f411694cf66aa30a105a10beca56ab415d042"
RECORDED = datetime(2026, 3, 10, 16, 0, 0, 250, tzinfo=UTC)
FORM = '{"note": "118.40 °F, “café”", "operation": "receive-in-bond"}'
LOT = NewLot(
    "N-{n}", "spirits", "pg", "Neutral spirits", class_code="spirits_190", material="grain",
    distilled_at=1902, aged_from=date(2026, 2, 1), producer="Gull Rock (invented)", state="XX",
)  # fmt: skip
FIRST = Plan(
    (
        Leg(
            Place("other_plant", "N-{n}"), Place("storage", "N-{n}", "T-1"), "receive",
            0, 10000, 19000, proof=1900, cooperage="tank",
        ),
    ),
    (LOT,),
    document="R-{n}",
)  # fmt: skip


def utc(moment):
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def month(period):
    return period and f"{period.month:%Y-%m-%d}"


def code(row):
    return row.code if row else ""


def number(row):
    return row.number if row else None


def lot_list(lot):
    what = lot.designation
    return [
        lot.code, lot.stage, lot.unit, lot.name, lot.distilled_at,
        f"{lot.aged_from:%Y-%m-%d}" if lot.aged_from else None,
        lot.producer, lot.state, lot.product, lot.bottle_ml, lot.per_case, lot.label_proof,
        what.class_code, what.type_code, what.source, what.form, what.material,
        what.redistilled, what.reduced_rate,
    ]  # fmt: skip


def leg_list(row):
    return [
        row.from_account, code(row.from_lot), code(row.from_vessel),
        row.to_account, code(row.to_lot), code(row.to_vessel),
        row.purpose, row.amount, row.wine_gallons, row.proof_gallons, row.proof,
        row.cooperage, row.taxed,
    ]  # fmt: skip


def seal_of(entry, previous):
    head = [
        entry.premises.registry, entry.number, entry.key, entry.operation,
        utc(entry.happened_at), utc(entry.recorded_at), month(entry.period), month(entry.amends),
        entry.by, entry.form, entry.document, number(entry.reverses), number(entry.corrects),
        entry.reason,
    ]  # fmt: skip
    lots = [lot_list(lot) for lot in Lot.objects.filter(opened_by=entry).order_by("pk")]
    legs = [leg_list(row) for row in Movement.objects.filter(entry=entry).order_by("leg")]
    text = json.dumps([*head, lots, legs], separators=(",", ":"), ensure_ascii=False)
    return sha256("\n".join(["book-1", previous, text]).encode("utf-8")).hexdigest()


@pytest.fixture
def plant():
    premises = make_plant()
    post(premises, "a", FIRST, operation="receive-in-bond", form=FORM, now=RECORDED)
    return premises


def test_a_fixed_entry_has_a_fixed_seal_on_every_database(plant):
    entry = Entry.objects.get()
    assert entry.document == "R-1"
    assert entry.seal == FIXED


def test_the_chain_is_recomputed_from_the_stored_rows(plant):
    post(plant, "b", draw("N-1", 100, 190), at=DAY.replace(microsecond=7), reason="a leak, É")
    take_back(plant, Entry.objects.get(number=2), "c")
    post(plant, "d", Plan(document="label"))
    previous = ""
    for entry in Entry.objects.order_by("number"):
        assert entry.seal == seal_of(entry, previous)
        previous = entry.seal
    plant.refresh_from_db()
    assert plant.last_seal == previous


def test_another_premises_has_another_chain(plant):
    other = make_plant("DSP-XX-00001")
    post(other, "a", FIRST, operation="receive-in-bond", form=FORM, now=RECORDED)
    mine, theirs = Entry.objects.order_by("premises__registry")
    assert mine.seal != theirs.seal
    assert theirs.seal == seal_of(theirs, "")


def test_an_instant_is_told_in_utc_with_microseconds():
    moment = datetime.fromisoformat("2026-01-29T13:30:00-05:00")
    assert instant(moment) == "2026-01-29T18:30:00.000000Z"
