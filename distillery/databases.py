"""Which database holds the book: SQLite in the data folder, or PostgreSQL by DATABASE_URL."""

import os
from pathlib import Path
from typing import Any

import dj_database_url

SQLITE_START = ";".join(
    [
        "PRAGMA journal_mode=WAL",
        "PRAGMA synchronous=FULL",
        "PRAGMA foreign_keys=ON",
        # Without it INSERT OR REPLACE would delete past the guards of the book.
        "PRAGMA recursive_triggers=ON",
    ]
)


def database(*, data_dir: Path) -> dict[str, Any]:
    """The settings of the one database, from `DATABASE_URL` or else a file in `data_dir`."""
    config: dict[str, Any] = dict(
        dj_database_url.config(
            default=f"sqlite:///{data_dir / 'book.sqlite3'}",
            conn_max_age=60,
            conn_health_checks=True,
        )
    )
    if config["ENGINE"] == "django.db.backends.sqlite3":
        config |= _sqlite(data_dir)
    return config


def _sqlite(data_dir: Path) -> dict[str, Any]:
    return {
        # IMMEDIATE makes writers wait in line; the default lets two begin and fails one.
        "OPTIONS": {"transaction_mode": "IMMEDIATE", "timeout": 30, "init_command": SQLITE_START},
        # Threads in tests need a file, and two test runs side by side must not share it.
        "TEST": {"NAME": str(data_dir / f"test-{os.getpid()}.sqlite3")},
    }
