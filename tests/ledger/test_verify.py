"""Every tampering is found and named. Done with the guards lifted, as one with the database can."""

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from ledger import guards
from ledger.closing import close
from ledger.models import Entry, Period
from ledger.verifying import verify
from tests.ledger.raw import DAY, NOW, draw, make_plant, post, receive, take_back, transfer

pytestmark = pytest.mark.django_db


@pytest.fixture
def plant():
    """Five entries over two months, the first of them closed."""
    premises = make_plant()
    post(premises, "a", receive())
    post(premises, "b", transfer("N-1", 5000, 9500))
    post(premises, "c", draw("B-2", 10, 19, vessel="P-1", account="processing"))
    close(premises, DAY.date().replace(day=1), by="ada", now=NOW)
    at = DAY.replace(month=4)
    fourth = post(premises, "d", receive("N-9", vessel="T-2"), at=at).entry
    take_back(premises, fourth, "e")
    assert verify(premises).faults == []
    return premises


def run(sql):
    with connection.cursor() as cursor:
        cursor.execute(sql)


def movement(number, leg=1):
    entry = f"(SELECT id FROM ledger_entry WHERE number = {number})"
    return f"WHERE entry_id = {entry} AND leg = {leg}"


LOT = "(SELECT id FROM ledger_lot WHERE code = 'N-1')"
COPIED = "Entry 3, movement 1: its copied facts differ."

# what was done, the SQL, and every fault that must be named: no more and no fewer
TAMPERINGS = {
    "the person of an entry": (
        "UPDATE ledger_entry SET by = 'eve' WHERE number = 2",
        ["Entry 2 does not match its seal."],
    ),
    "the form of an entry": (
        "UPDATE ledger_entry SET form = '{\"x\": 1}' WHERE number = 3",
        ["Entry 3 does not match its seal."],
    ),
    "the reason of a reversal": (
        "UPDATE ledger_entry SET reason = '' WHERE number = 5",
        ["Entry 5 does not match its seal."],
    ),
    "the purpose of a leg": (
        f"UPDATE ledger_movement SET purpose = 'leak' {movement(3)}",
        ["Entry 3 does not match its seal.", "The stored totals of 2026-03 differ from the "
         "movements."],
    ),
    "the gauge's proof of a leg": (
        f"UPDATE ledger_movement SET proof = 1 {movement(1)}",
        ["Entry 1 does not match its seal."],
    ),
    "a leg taken out": (
        f"DELETE FROM ledger_movement {movement(4)}",
        ["Entry 4 does not match its seal.", "Holding of N-9 in T-2 (storage): "
         "kept [0, 0, 0], the movements say [0, -10000, -19000]."],
    ),
    "the moment of a leg": (
        f"UPDATE ledger_movement SET at = '2026-03-01 00:00:00+00:00' {movement(3)}",
        [COPIED],
    ),
    "the designation copied on a leg": (
        f"UPDATE ledger_movement SET from_designation_id = NULL {movement(3)}",
        [COPIED, "The stored totals of 2026-03 differ from the movements."],
    ),
    "the vessel kind copied on a leg": (
        f"UPDATE ledger_movement SET from_vessel_kind = 'still' {movement(3)}",
        [COPIED],
    ),
    "the distillation proof of a lot": (
        "UPDATE ledger_lot SET distilled_at = 1 WHERE code = 'N-1'",
        ["Entry 1 does not match its seal."],
    ),
    "the code of a vessel": (
        "UPDATE ledger_vessel SET code = 'T-X' WHERE code = 'T-2'",
        ["Entry 4 does not match its seal.", "Entry 5 does not match its seal."],
    ),
    "a holding": (
        f"UPDATE ledger_holding SET proof_gallons = 1 WHERE lot_id = {LOT}",
        ["Holding of N-1 in T-1 (storage): kept [0, 5000, 1], the movements say "
         "[0, 5000, 9500]."],
    ),
    "when a holding last changed": (
        f"UPDATE ledger_holding SET last_at = '2026-01-01 00:00:00+00:00' WHERE lot_id = {LOT}",
        ["Holding of N-1 in T-1 (storage): its last moment is not that of the movements."],
    ),
    "a descent": (
        "UPDATE ledger_descent SET proof_gallons = 1",
        ["Descent N-1 to B-2: kept [0, 5000, 1], the movements say [0, 5000, 9500]."],
    ),
    "a stored total": (
        "UPDATE ledger_flowtotal SET run_proof_gallons = run_proof_gallons + 1",
        ["The stored totals of 2026-03 differ from the movements."],
    ),
    "a month opened again": (
        "UPDATE ledger_period SET state = 'open' WHERE month = '2026-03-01'",
        ["2026-03 is open, but the premises row says it was closed."],
    ),
    "the seal a month closed with": (
        "UPDATE ledger_period SET closed_seal = 'x' WHERE month = '2026-03-01'",
        ["2026-03 did not close with the seal of entry 3."],
    ),
    "the head in the premises row": (
        "UPDATE ledger_premises SET last_number = 6",
        ["The last entry is not the one the premises row names."],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", TAMPERINGS)
def test_it_is_found_and_named_exactly(plant, name):
    sql, faults = TAMPERINGS[name]
    if connection.vendor == "postgresql":
        run("SET CONSTRAINTS ALL IMMEDIATE")
    guards.lift(connection)
    run(sql)
    guards.install(connection)
    assert sorted(verify(plant).faults) == sorted(faults)


def test_an_entry_taken_out_of_the_chain_is_missed(plant):
    if connection.vendor == "postgresql":
        run("SET CONSTRAINTS ALL IMMEDIATE")
    guards.lift(connection)
    run(f"DELETE FROM ledger_movement {movement(3)}")
    run("DELETE FROM ledger_entry WHERE number = 3")
    faults = verify(plant).faults
    assert "Entry 3 is missing." in faults
    # The next one was sealed upon the seal that is gone.
    assert "Entry 4 does not match its seal." in faults
    assert not any(fault.startswith("Entry 5") for fault in faults)


@pytest.mark.sqlite_only
def test_a_fraction_in_an_integer_column_is_found(plant):
    """SQLite keeps 9.5 in an INTEGER column (its documentation, "Datatypes In SQLite")."""
    guards.lift(connection)
    run(f"UPDATE ledger_movement SET proof_gallons = 19.5 {movement(3)}")
    guards.install(connection)
    assert COPIED in verify(plant).faults


def test_the_command_ends_in_an_error_that_names_the_fault(plant, capsys):
    call_command("verify")
    assert "5 entries, 5 movements" in capsys.readouterr().out
    if connection.vendor == "postgresql":
        run("SET CONSTRAINTS ALL IMMEDIATE")
    guards.lift(connection)
    Entry.objects.filter(number=2).update(by="eve")
    guards.install(connection)
    with pytest.raises(CommandError, match="does not verify"):
        call_command("verify")
    assert "DSP-XX-00000: Entry 2 does not match its seal." in capsys.readouterr().err


def test_each_premises_is_verified_by_itself(plant):
    other = make_plant("DSP-XX-00001")
    post(other, "a", receive())
    Period.objects.filter(premises=plant, month="2026-03-01").update(closed_seal="x")
    assert verify(other).faults == []
    assert len(verify(plant).faults) == 1
