"""The frame: keys, database settings, headers, throttle and static files as deployed."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection

from distillery.databases import database
from distillery.proxies import client_address
from distillery.secret_key import secret_key

ROOT = Path(__file__).resolve().parent.parent
LOG_IN = "/plant/admin/login/"


def manage(*arguments, python=(sys.executable,), **environment):
    """Run manage.py in its own process, as a person would.

    A browser test may stand open beside it; what that needs of Django is not for deployment.
    """
    plain = {name: word for name, word in os.environ.items() if "ASYNC_UNSAFE" not in name}
    return subprocess.run(
        [*python, "manage.py", *arguments],
        cwd=ROOT,
        env={**plain, **environment},
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_key_is_made_once_and_kept_private(tmp_path, monkeypatch):
    monkeypatch.delenv("DISTILLERY_SECRET_KEY", raising=False)
    first = secret_key(data_dir=tmp_path)
    assert len(first) >= 50
    assert secret_key(data_dir=tmp_path) == first
    kept = list(tmp_path.iterdir())
    assert [path.name for path in kept] == ["secret_key"]
    assert kept[0].stat().st_mode & 0o777 == 0o600


def test_the_environments_key_wins_and_is_not_kept(tmp_path, monkeypatch):
    monkeypatch.setenv("DISTILLERY_SECRET_KEY", "from outside")
    assert secret_key(data_dir=tmp_path) == "from outside"
    assert list(tmp_path.iterdir()) == []


def test_sqlite_is_the_default_and_makes_writers_wait(tmp_path, monkeypatch):
    monkeypatch.delenv("DATABASE_URL", raising=False)
    config = database(data_dir=tmp_path)
    assert config["NAME"] == str(tmp_path / "book.sqlite3")
    assert config["OPTIONS"]["transaction_mode"] == "IMMEDIATE"


def test_postgresql_is_chosen_by_url(tmp_path, monkeypatch):
    monkeypatch.setenv("DATABASE_URL", "postgresql://book@db.example:5433/plant")
    config = database(data_dir=tmp_path)
    assert config["ENGINE"] == "django.db.backends.postgresql"
    assert (config["HOST"], config["PORT"], config["NAME"]) == ("db.example", 5433, "plant")
    assert not config.get("ATOMIC_REQUESTS")


@pytest.mark.sqlite_only
@pytest.mark.django_db
@pytest.mark.parametrize(
    ("pragma", "value"),
    [("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1), ("recursive_triggers", 1)],
)
def test_every_connection_keeps_the_book_safe(pragma, value):
    """Values as the SQLite documentation of PRAGMA gives them (synchronous 2 is FULL)."""
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA {pragma}")
        assert cursor.fetchone() == (value,)


def test_the_log_in_page_forbids_foreign_script_and_frames(client, db):
    headers = client.get(LOG_IN).headers
    policy = headers["Content-Security-Policy"]
    assert "default-src 'self'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["X-Content-Type-Options"] == "nosniff"


def test_the_tenth_wrong_password_locks_the_name_out(client, db):
    wrong = {"username": "owner", "password": "guess"}
    answers = [client.post(LOG_IN, wrong).status_code for _ in range(10)]
    assert answers == [200] * 9 + [429]


def test_it_believes_only_what_its_own_proxy_wrote(rf, settings):
    request = rf.get("/", headers={"x-forwarded-for": "198.51.100.9, 203.0.113.7"})
    settings.BEHIND_TLS = True
    assert client_address(request) == "203.0.113.7"
    settings.BEHIND_TLS = False
    assert client_address(request) == "127.0.0.1"


def test_it_is_fit_to_be_deployed(tmp_path):
    done = manage(
        *("check", "--deploy", "--fail-level", "WARNING"),
        DISTILLERY_TLS="1",
        DISTILLERY_DATA=str(tmp_path),
        DISTILLERY_SECRET_KEY="".join(map(chr, range(35, 126))),
    )
    assert done.returncode == 0, done.stderr


def test_static_files_are_collected_with_their_hashes(tmp_path):
    done = manage("collectstatic", "--noinput", DISTILLERY_TLS="1", DISTILLERY_DATA=str(tmp_path))
    assert done.returncode == 0, done.stderr
    manifest = json.loads((tmp_path / "static" / "staticfiles.json").read_text())
    assert "admin/css/base.css" in manifest["paths"]


def test_it_says_in_a_sentence_that_django_is_missing():
    done = manage("check", python=(sys.executable, "-S"))
    assert done.returncode == 1
    assert done.stderr.startswith("Django is not installed for this Python. Run ./.dev/setup")
    assert "Traceback" not in done.stderr
