"""Database triggers that refuse to update or delete what is in the book.

Lifted before a migration (SQLite rebuilds tables and drops or trips over triggers) and
installed again after; a system check reports them missing. The names are stable, so that
installing twice changes nothing.
"""

from collections.abc import Iterable, Sequence
from typing import Any

from django.apps import apps
from django.core.checks import CheckMessage, Warning, register
from django.db import OperationalError, ProgrammingError, connections

# model -> columns that may change, () allows none at all. A model of another floor stands here
# as "app.Model"; that floor adds it when it loads.
FROZEN: dict[str, tuple[str, ...]] = {
    "Entry": (),
    "Movement": (),
    "Lot": (),
    "Designation": (),
    "FlowTotal": (),
    "Vessel": (),
    "Premises": ("name", "time_zone", "last_number", "last_seal", "last_happened_at",
                 "closed_through"),
    "Period": ("state", "closed_at", "closed_by", "closed_number", "closed_seal"),
}  # fmt: skip
_MAY_GO = frozenset({"Vessel", "Premises"})  # while nothing refers to them; PROTECT guards the rest
_FUNCTION = "ledger_refuse_change"


def _meta(model: str) -> Any:
    return apps.get_model(model if "." in model else f"ledger.{model}")._meta


def _table(model: str) -> str:
    return str(_meta(model).db_table)


def _guarded_columns(model: str) -> list[str]:
    return [f.column for f in _meta(model).concrete_fields if f.name not in FROZEN[model]]


def _statements_sqlite(model: str) -> Iterable[tuple[str, str]]:
    table = _table(model)
    text, make = f"The book is append-only: {table}", "CREATE TRIGGER IF NOT EXISTS"
    columns = ", ".join(f'"{column}"' for column in _guarded_columns(model))
    changed = " OR ".join(f'OLD."{c}" IS NOT NEW."{c}"' for c in _guarded_columns(model))
    yield (
        f"guard_{table}_update",
        f'{make} guard_{table}_update BEFORE UPDATE OF {columns} ON "{table}" '
        f"WHEN {changed} BEGIN SELECT RAISE(ABORT, '{text}'); END",
    )
    if model in _MAY_GO:
        # INSERT OR REPLACE deletes the row and puts another in its place under the same id.
        there = f'EXISTS (SELECT 1 FROM "{table}" WHERE id = NEW.id)'  # noqa: S608
        yield (
            f"guard_{table}_replace",
            f'{make} guard_{table}_replace BEFORE INSERT ON "{table}" '
            f"WHEN {there} BEGIN SELECT RAISE(ABORT, '{text}'); END",
        )
    else:
        yield (
            f"guard_{table}_delete",
            f'{make} guard_{table}_delete BEFORE DELETE ON "{table}" '
            f"BEGIN SELECT RAISE(ABORT, '{text}'); END",
        )


def _statements_postgresql(model: str) -> Iterable[tuple[str, str]]:
    table = _table(model)
    call = f"EXECUTE FUNCTION {_FUNCTION}()"
    changed = " OR ".join(f'OLD."{c}" IS DISTINCT FROM NEW."{c}"' for c in _guarded_columns(model))
    make, when = "CREATE OR REPLACE TRIGGER", f"FOR EACH ROW WHEN ({changed})"
    yield (
        f"guard_{table}_update",
        f'{make} guard_{table}_update BEFORE UPDATE ON "{table}" {when} {call}',
    )
    if model not in _MAY_GO:
        yield (
            f"guard_{table}_delete",
            f'{make} guard_{table}_delete BEFORE DELETE ON "{table}" FOR EACH ROW {call}',
        )
        yield (
            f"guard_{table}_truncate",
            f'{make} guard_{table}_truncate BEFORE TRUNCATE ON "{table}" FOR EACH STATEMENT {call}',
        )


_REFUSE = f"""
CREATE OR REPLACE FUNCTION {_FUNCTION}() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION 'The book is append-only: %', TG_TABLE_NAME
    USING ERRCODE = 'integrity_constraint_violation';
END $$
"""


def _statements(connection: Any) -> list[tuple[str, str, str]]:
    """(table, trigger name, statement that makes it) for this database."""
    make = _statements_sqlite if connection.vendor == "sqlite" else _statements_postgresql
    return [(_table(model), *pair) for model in FROZEN for pair in make(model)]


def _present(connection: Any) -> set[str]:
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        else:
            cursor.execute(
                "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal AND tgenabled <> 'D'"
            )
        return {row[0] for row in cursor.fetchall()}


def install(connection: Any) -> None:
    """Install every guard whose table exists; idempotent."""
    tables = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(_REFUSE)
        for table, _, statement in _statements(connection):
            if table in tables:
                cursor.execute(statement)


def lift(connection: Any) -> None:
    """Take every guard away, for a migration or a test's flush."""
    present = _present(connection)
    with connection.cursor() as cursor:
        for table, name, _ in _statements(connection):
            if name in present:
                on = f' ON "{table}"' if connection.vendor == "postgresql" else ""
                cursor.execute(f"DROP TRIGGER IF EXISTS {name}{on}")


def missing(connection: Any) -> list[str]:
    """Names of guards that should be there and are not; empty before the first migration."""
    tables = set(connection.introspection.table_names())
    present = _present(connection)
    wanted = _statements(connection)
    return [name for table, name, _ in wanted if table in tables and name not in present]


def lift_before_migrate(using: str, **kwargs: Any) -> None:
    """pre_migrate receiver."""
    lift(connections[using])


def install_after_migrate(using: str, **kwargs: Any) -> None:
    """post_migrate receiver."""
    install(connections[using])


@register("database")
def check_guards(*, databases: Sequence[str] | None = None, **kwargs: Any) -> list[CheckMessage]:
    """System check: a migration that failed half-way leaves the guards lifted.

    A warning, not an error: migrate runs this first, and migrate is what mends it. The server
    refuses to start on it (distillery/wsgi.py).
    """
    found: list[CheckMessage] = []
    for alias in databases or []:
        try:
            names = missing(connections[alias])
        except (OperationalError, ProgrammingError):
            continue
        if names:
            found.append(
                Warning(
                    f"The book's guards are not in place: {', '.join(names)}.",
                    hint="Run manage.py migrate to install them again.",
                    id="ledger.W001",
                )
            )
    return found
