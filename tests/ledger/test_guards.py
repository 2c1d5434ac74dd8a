"""The database itself refuses to change the book, and says so when it could not.

The traps behind these tests are common practice with triggers: SQLite drops them with a rebuilt
table and lets INSERT OR REPLACE delete past them; PostgreSQL's row triggers do not see TRUNCATE.
"""

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction

from ledger import guards
from ledger.closing import close
from ledger.models import Premises, Vessel
from ledger.verifying import verify
from tests.ledger.raw import DAY, NOW, make_plant, post, receive

pytestmark = pytest.mark.django_db

# table -> a column that may not change, and another value for it
FROZEN = {
    "ledger_entry": ("by", "'eve'"),
    "ledger_movement": ("proof_gallons", "1"),
    "ledger_lot": ("name", "'Rum'"),
    "ledger_designation": ("class_code", "'rum'"),
    "ledger_flowtotal": ("proof_gallons", "1"),
    "ledger_period": ("month", "'2020-01-01'"),
    "ledger_vessel": ("code", "'T-X'"),
    "ledger_premises": ("registry", "'DSP-XX-00009'"),
}
KEPT = sorted(FROZEN.keys() - {"ledger_vessel", "ledger_premises"})


@pytest.fixture
def plant():
    premises = make_plant()
    post(premises, "a", receive())
    close(premises, DAY.date().replace(day=1), by="ada", now=NOW)
    return premises


def run(sql):
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(sql)


def rows(table):
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT * FROM {table} ORDER BY id")
        return cursor.fetchall()


@pytest.mark.parametrize("table", sorted(FROZEN))
def test_a_row_cannot_be_changed(plant, table):
    column, value = FROZEN[table]
    before = rows(table)
    assert before
    with pytest.raises(IntegrityError, match="append-only"):
        run(f"UPDATE {table} SET {column} = {value}")
    assert rows(table) == before


@pytest.mark.parametrize("table", KEPT)
def test_a_row_cannot_be_deleted(plant, table):
    before = rows(table)
    with pytest.raises(IntegrityError, match="append-only"):
        run(f"DELETE FROM {table}")
    assert rows(table) == before


@pytest.mark.sqlite_only
@pytest.mark.parametrize("table", sorted(FROZEN))
def test_insert_or_replace_does_not_get_past(plant, table):
    """recursive_triggers=ON: SQLite documentation, "PRAGMA recursive_triggers"."""
    column, value = FROZEN[table]
    with connection.cursor() as cursor:
        names = [row.name for row in connection.introspection.get_table_description(cursor, table)]
    taken = ", ".join(value if name == column else f'"{name}"' for name in names)
    before = rows(table)
    with pytest.raises(IntegrityError, match="append-only"):
        run(f"INSERT OR REPLACE INTO {table} SELECT {taken} FROM {table}")
    assert rows(table) == before


@pytest.mark.postgresql_only
@pytest.mark.parametrize("table", sorted(FROZEN))
def test_a_table_cannot_be_truncated(plant, table):
    before = rows(table)
    with pytest.raises(IntegrityError, match="append-only"):
        run(f"SET CONSTRAINTS ALL IMMEDIATE; TRUNCATE {table} CASCADE")
    assert rows(table) == before


@pytest.mark.postgresql_only
@pytest.mark.parametrize("table", sorted(FROZEN))
def test_an_upsert_does_not_get_past(plant, table):
    column, value = FROZEN[table]
    with pytest.raises(IntegrityError, match="append-only"):
        run(
            f"INSERT INTO {table} SELECT * FROM {table} "
            f"ON CONFLICT (id) DO UPDATE SET {column} = {value}"
        )


def test_what_posting_itself_changes_may_change(plant):
    Premises.objects.update(name="Marram Point Spirits (invented)")
    assert Premises.objects.get().name == "Marram Point Spirits (invented)"


def test_a_vessel_nothing_refers_to_may_go(plant):
    Vessel.objects.get(code="P-2").delete()
    assert not Vessel.objects.filter(code="P-2").exists()


def test_installing_twice_changes_nothing(plant):
    guards.install(connection)
    assert guards.missing(connection) == []
    with pytest.raises(IntegrityError, match="append-only"):
        run("DELETE FROM ledger_entry")


def test_missing_guards_are_reported_by_the_check_and_by_verify(plant):
    assert guards.check_guards(databases=["default"]) == []
    guards.lift(connection)
    (message,) = guards.check_guards(databases=["default"])
    assert "guard_ledger_movement_update" in message.msg
    assert "migrate" in message.hint
    faults = verify(plant).faults
    assert "The guard guard_ledger_movement_delete is missing." in faults


@pytest.mark.postgresql_only
def test_a_disabled_guard_counts_as_missing(plant):
    """ALTER TABLE ... DISABLE TRIGGER leaves it in pg_trigger with tgenabled D."""
    run("SET CONSTRAINTS ALL IMMEDIATE")
    run("ALTER TABLE ledger_movement DISABLE TRIGGER guard_ledger_movement_update")
    assert guards.missing(connection) == ["guard_ledger_movement_update"]


@pytest.mark.django_db(transaction=True)
def test_migrate_installs_what_was_lifted():
    guards.lift(connection)
    assert guards.missing(connection)
    call_command("migrate", verbosity=0)
    assert guards.missing(connection) == []
