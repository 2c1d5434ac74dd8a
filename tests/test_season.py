"""The demo season as a test of the whole road: it verifies, repeats, and can be taken back."""

from collections import Counter
from datetime import UTC, datetime
from json import loads

import pytest

from distillery.demo.plant import open_log_ins, open_marram_point, owner_of
from distillery.demo.season import season
from distillery.recording import record
from ledger.models import Descent, Entry, Holding, Lot, Movement
from ledger.models.book import LIVE
from ledger.verifying import verify
from reports.month_end import close_month

pytestmark = pytest.mark.django_db
# Two months and a half: every operation of the season but the dumps of its second half.
TABLES = (Entry, Movement, Lot, Holding, Descent)
UNTIL = datetime(2026, 3, 20, 22, tzinfo=UTC)


def tell(premises, *, count=3, until=UNTIL):
    """Record the season; returns the months that ended."""
    return list(season(premises, owner_of(premises), until=until, count=count))


@pytest.fixture
def plant():
    premises = open_marram_point()
    open_log_ins(premises)
    return premises


def state():
    """Every figure that a second telling must leave alone."""
    return [list(table.objects.order_by("pk").values()) for table in TABLES]


def test_the_same_season_told_twice_changes_nothing(plant):
    tell(plant)
    before = state()
    tell(plant)
    assert state() == before


def test_every_record_sent_again_is_already_had(plant):
    """The stored form under its key, as a file recorded a second time sends it."""
    tell(plant, count=1, until=datetime(2026, 3, 27, tzinfo=UTC))
    before = state()
    for entry in Entry.objects.order_by("number"):
        data = {**loads(entry.form), "key": entry.key}
        done = record(data, premises=plant, user=owner_of(plant))
        assert (done.is_new, done.entry) == (False, entry)
    assert state() == before


def test_what_the_season_writes_verifies(plant):
    tell(plant)
    assert verify(plant).faults == []


def test_every_quantity_is_conserved(plant):
    """What crossed the border of the plant is what stands in it, to the last integer."""
    tell(plant)
    inside = set(Holding.objects.values_list("account", flat=True))
    crossed = Counter()
    for row in Movement.objects.all():
        sign = (row.to_account in inside) - (row.from_account in inside)
        for name in ("amount", "wine_gallons", "proof_gallons"):
            crossed[name] += sign * getattr(row, name)
    stands = Counter()
    for held in Holding.objects.all():
        for name in crossed:
            stands[name] += getattr(held, name)
    assert crossed == stands


def test_reversing_everything_newest_first_empties_the_book(plant):
    tell(plant, count=1, until=datetime(2026, 3, 27, tzinfo=UTC))
    rows = Entry.objects.filter(reverses=None, reversed_by=None).order_by("-number")
    for number in list(rows.values_list("number", flat=True)):
        data = {
            "operation": "reverse", "at": "2026-03-28", "key": f"back-{number}",
            "entry": str(number), "reason": "taken back",
        }  # fmt: skip
        record(data, premises=plant, user=owner_of(plant))
    assert not Holding.objects.filter(LIVE).exists()
    assert not Descent.objects.filter(LIVE).exists()


def test_all_months_of_the_season_tie_and_close(plant):
    """Fifteen months, each closed as it ends, as the demo does it."""
    for month in season(plant, owner_of(plant), until=datetime(2026, 3, 27, tzinfo=UTC)):
        assert close_month(plant, month, by="wren").period.month == month
    plant.refresh_from_db()
    assert verify(plant).faults == []
