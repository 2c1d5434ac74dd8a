"""What the demo leaves under way: washes in different states, a still in the middle of a run.

That a figure is slow, usual or done is by our own band (distillery/curves/expected.py); that a
still is read every quarter of an hour is the setting's default (common practice, no source).
"""

from datetime import UTC, datetime, timedelta

import pytest

from distillery.curves.ferment_words import calls_of
from distillery.demo import today
from distillery.demo.plant import open_log_ins, open_marram_point, owner_of
from distillery.demo.season import season
from distillery.models import Reading, ReadingVoid
from distillery.run_story import story_of
from distillery.shown_in import ShownIn
from ledger.models import Holding, Lot
from ledger.models.book import LIVE
from ledger.verifying import verify
from tests.world import ZONE

UNTIL = datetime(2026, 3, 27, 18, 4, 30, tzinfo=UTC)


@pytest.fixture
def plant(db):
    premises = open_marram_point()
    open_log_ins(premises)
    list(season(premises, owner_of(premises), until=UNTIL, count=1, is_under_way=True))
    return premises


def test_three_washes_ferment_and_each_says_something_else(plant):
    held = Holding.objects.filter(LIVE, account="fermenting").select_related("lot", "vessel")
    washes = {one.lot.code.rsplit("-", 1)[-1]: one.lot for one in held}
    assert sorted(washes) == ["DONE", "SLOW", "STEADY"]
    calls = calls_of(washes.values(), ShownIn())
    assert calls[washes["SLOW"].pk][0].startswith("Slower than usual")
    assert calls[washes["DONE"].pk] == ("Done: equal readings over 11 h. Distil soon.", False)
    assert washes["STEADY"].pk not in calls
    assert ReadingVoid.objects.get().reading.lot == washes["STEADY"]


def test_a_still_runs_and_was_read_just_now(plant):
    run = Lot.objects.get(code="GIN-260327")
    story = story_of(run, premises=plant, now=UNTIL)
    assert story.account == "production"
    assert [one.fraction for one in story.stretches] == ["heads", "hearts"]
    assert not story.is_stopped
    assert len(story.readings) == len(today.RUN)
    assert UNTIL - story.last_read < timedelta(minutes=15)


def test_the_book_is_whole_and_nothing_lies_in_the_future(plant):
    assert verify(plant).faults == []
    assert not Reading.objects.filter(at__gt=UNTIL).exists()


@pytest.mark.parametrize("day", range(1, 32))
def test_no_wash_is_set_where_the_months_own_stands(day):
    """A mash of the month stands from its morning until it is stripped on the fifth day."""
    now = datetime(2026, 5, day, 15, 4, tzinfo=ZONE)
    for number, first in enumerate((3, 10, 17), start=1):
        start = now - timedelta(hours=62)
        stands = [datetime(2026, month, first, 7, 30, tzinfo=ZONE) for month in (4, 5)]
        clash = any(one < now and one + timedelta(days=5) > start for one in stands)
        assert not (clash and today._is_free(f"FV-{number}", start, now))
