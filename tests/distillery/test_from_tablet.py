"""What a record says of its tablet: kept beside it, no part of its content, never a wrong plant."""

import json
from datetime import UTC, datetime

import pytest
from django.core.management import call_command

from distillery.from_tablet import NAMES
from distillery.models import TabletRecord
from distillery.operations import operations
from distillery.recording import Refused
from ledger.models import Entry
from tests.world import make_world

pytestmark = pytest.mark.django_db
MADE = {"made_for": "DSP-XX-00000", "device": "t-1", "made_at": "2026-01-05T09:01:02-05:00"}
CORN = {
    "material": "CORN", "quantity": "100 lb", "vessel": "BIN-1", "supplier": "A farm (invented)",
}  # fmt: skip


@pytest.fixture
def world():
    return make_world()


def test_the_tablet_and_its_clock_are_kept_beside_the_entry(world):
    done = world.record("receive-material", "2026-01-05 09:00", key="a", **CORN, **MADE)
    kept = TabletRecord.objects.get()
    assert (kept.entry, kept.key, kept.device, kept.by) == (done.entry, "a", "t-1", "ada")
    assert kept.made_at == datetime(2026, 1, 5, 14, 1, 2, tzinfo=UTC)
    assert kept.offset_minutes == -300
    assert "t-1" not in done.entry.form


def test_a_reading_keeps_its_tablet_too(world):
    world.record(
        "ferment-reading", "2026-01-05 09:00", key="r", vessel="FV-1", temperature="82 F", **MADE
    )
    assert TabletRecord.objects.get().entry is None


def test_the_same_record_from_a_page_and_from_a_tablet_is_one(world):
    world.record("receive-material", "2026-01-05 09:00", key="a", **CORN)
    assert not world.record("receive-material", "2026-01-05 09:00", key="a", **CORN, **MADE).is_new
    assert Entry.objects.count() == 1


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"made_for": "DSP-XX-00009"}, "made_for"),
        ({"device": "a b"}, "device"),
        ({"device": ["t"]}, "device"),
        ({"device": ""}, "device"),
        ({"made_at": "2026-01-05T09:01:02"}, "made_at"),
        ({"made_at": "0001-01-01T00:00:00+00:00"}, "made_at"),
        ({"made_at": 7}, "made_at"),
        ({"made_at": ""}, "made_at"),
    ],
)
def test_it_refuses_what_is_no_tablet_or_another_plant(world, wrong, field):
    with pytest.raises(Refused) as refusal:
        world.record("receive-material", "2026-01-05 09:00", **CORN, **{**MADE, **wrong})
    assert list(refusal.value.errors) == [field]
    assert (Entry.objects.count(), TabletRecord.objects.count()) == (0, 0)


def test_a_file_from_a_tablet_is_read_by_the_command(world, tmp_path, capsys):
    line = {"operation": "receive-material", "at": "2026-01-05T09:00", "key": "a", "by": "bo"}
    path = tmp_path / "records.jsonl"
    path.write_text(json.dumps({**line, **CORN, **MADE}) + "\n")
    call_command("record", str(path))
    call_command("record", str(path))
    assert "0 recorded, 1 already had, 0 need a look." in capsys.readouterr().out
    assert TabletRecord.objects.get().by == "bo"


def test_no_form_has_a_field_of_the_names_of_a_tablet():
    named = {name for one in operations().values() for name in one.form.base_fields}
    assert named.isdisjoint({"tablet", *NAMES})
