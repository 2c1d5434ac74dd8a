"""A process killed in the middle of recording leaves whole entries; the file run again ends it."""

import json
import os
import subprocess
import sys
import time
from pathlib import Path
from random import Random

import pytest
from django.db import connection

from ledger.models import Entry, Holding, Premises
from ledger.verifying import verify
from tests.world import make_world

pytestmark = pytest.mark.django_db(transaction=True)
ROOT = Path(__file__).resolve().parent.parent.parent
LINES = 300


def database_url():
    """Where the test database is, as the child process is told."""
    told = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{told['NAME']}"
    password = f":{told['PASSWORD']}" if told["PASSWORD"] else ""
    return (
        f"postgresql://{told['USER']}{password}@{told['HOST'] or 'localhost'}"
        f":{told['PORT'] or 5432}/{told['NAME']}"
    )


@pytest.fixture
def recorder(tmp_path):
    """Starts ``manage.py record`` on the test database with 300 deliveries of corn."""
    make_world()
    file = tmp_path / "deliveries.jsonl"
    rows = [
        {
            "operation": "receive-material", "at": f"2026-03-{1 + index // 20:02d} 09:00",
            "key": f"corn-{index}", "material": "CORN", "quantity": "10 lb", "vessel": "BIN-1",
            "supplier": "Low Field (invented)",
        }
        for index in range(LINES)
    ]  # fmt: skip
    file.write_text("".join(f"{json.dumps(row)}\n" for row in rows), encoding="utf-8")
    place = {"DATABASE_URL": database_url(), "DISTILLERY_DATA": str(tmp_path)}

    def start():
        return subprocess.Popen(
            [sys.executable, "manage.py", "record", str(file), "--by", "ada"],
            cwd=ROOT, env=os.environ | place, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
            text=True,
        )  # fmt: skip

    return start


def kill_after(process, entries):
    """SIGKILL once the book has grown past *entries*; what it holds then is whole."""
    until = time.monotonic() + 30
    while Entry.objects.count() < entries and process.poll() is None:
        assert time.monotonic() < until
        time.sleep(0.005)
    process.kill()
    process.communicate()


def test_killed_again_and_again_it_is_whole_and_ends_without_a_double(recorder):
    chance = Random(20260310)
    for round_number in range(1, 5):
        process = recorder()
        kill_after(process, round_number * 50 + chance.randrange(40))
        assert process.returncode == -9
        premises = Premises.objects.get()
        report = verify(premises)
        assert report.faults == []
        assert report.entries == report.movements == premises.last_number
    assert 200 <= premises.last_number < LINES
    out, err = recorder().communicate(timeout=60)
    assert err == ""
    report = verify(premises)
    assert (report.entries, report.movements, report.faults) == (LINES, LINES, [])
    assert sorted(Entry.objects.values_list("key", flat=True)) == sorted(
        f"corn-{index}" for index in range(LINES)
    )
    assert sum(row.amount for row in Holding.objects.all()) == LINES * 1000
    assert str(LINES - premises.last_number) in out
