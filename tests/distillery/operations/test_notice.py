"""Notices: kept with their entry, and what two of them change (27 CFR 19.292, 19.372)."""

from datetime import date

import pytest

from distillery.models import Notice
from distillery.notices import inventory_notice, suspended, suspensions
from distillery.recording import Asked, Refused
from ledger.models import Entry
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    return make_world()


def notice(world, kind, at, **fields):
    return world.record("notice", at, kind=kind, **{"how": "letter", **fields})


def test_a_notice_is_an_entry_without_movements(world):
    done = notice(
        world, "records-elsewhere", "2026-01-05 09:00", reference="L-1 (invented)",
        text="Kept at the accountant's office",
    )  # fmt: skip
    row = Notice.objects.get()
    assert (row.entry, row.given_on, row.effective_from) == (
        done.entry, date(2026, 1, 5), date(2026, 1, 5),
    )  # fmt: skip
    assert done.entry.movements.count() == 0
    assert row.reference == "L-1 (invented)"


def test_an_inventory_is_told_five_business_days_ahead(world):
    # 27 CFR 19.372: 30 June 2026 is a Tuesday; the fifth business day before it is 23 June.
    notice(world, "inventory", "2026-06-23 16:00", effective_from="2026-06-30")
    with pytest.raises(Asked, match=r"short-notice"):
        notice(world, "inventory", "2026-06-24 09:00", effective_from="2026-06-30")
    assert inventory_notice(world.premises, date(2026, 6, 30)).given_on == date(2026, 6, 23)
    assert inventory_notice(world.premises, date(2026, 12, 31)) is None


def test_juneteenth_is_no_business_day(world):
    # 5 U.S.C. 6103(a): 19 June 2026 is a Friday, so five business days end a day earlier.
    with pytest.raises(Asked, match="short-notice"):
        notice(world, "inventory", "2026-06-18 09:00", effective_from="2026-06-25")
    notice(world, "inventory", "2026-06-17 09:00", effective_from="2026-06-25")


def test_production_is_suspended_until_it_is_taken_up_again(world):
    notice(world, "suspension", "2026-01-05 09:00", effective_from="2026-01-10")
    notice(world, "resumption", "2026-03-20 09:00", effective_from="2026-04-01")
    (found,) = suspensions(world.premises)
    assert (found.first, found.last) == (date(2026, 1, 10), date(2026, 3, 31))
    assert suspended(world.premises, date(2026, 2, 1), date(2026, 2, 28))
    assert not suspended(world.premises, date(2026, 1, 1), date(2026, 1, 31))
    assert not suspended(world.premises, date(2026, 4, 1), date(2026, 4, 1))


def test_a_suspension_may_end_by_itself(world):
    notice(world, "suspension", "2026-01-05 09:00", effective_to="2026-02-28")
    assert suspended(world.premises, date(2026, 2, 1), date(2026, 2, 28))
    assert not suspended(world.premises, date(2026, 3, 1), date(2026, 3, 1))


def test_one_taken_back_counts_no_more(world):
    done = notice(world, "suspension", "2026-01-05 09:00")
    world.record("reverse", "2026-01-06 09:00", entry=done.entry.number, reason="not sent")
    assert Notice.objects.get().is_void
    assert suspensions(world.premises) == []


def test_resuming_what_was_not_suspended_is_asked_about(world):
    with pytest.raises(Asked, match="not-suspended"):
        notice(world, "resumption", "2026-01-05 09:00")


def test_it_does_not_end_before_it_begins(world):
    with pytest.raises(Refused, match="ends before it begins"):
        notice(world, "suspension", "2026-01-05 09:00", effective_to="2026-01-01")
    assert Entry.objects.count() == 0


def test_making_spirits_while_suspended_is_asked_about(world):
    put(world, "redistil", "NS", "N", wine="50", proof="30")
    notice(world, "suspension", "2026-01-05 09:00", effective_from="2026-02-01")
    act = {"still": "COL", "sources": [{"vessel": "NS"}], "family": "gin"}
    with pytest.raises(Asked, match=r"suspended from 1 Feb 2026.*19\.292.*production-suspended"):
        world.record("charge", "2026-02-10 09:00", **act)
    assert world.record("charge", "2026-01-20 09:00", **act).is_new


def test_it_is_recorded_once_confirmed(world):
    put(world, "redistil", "NS", "N", wine="50", proof="30")
    notice(world, "suspension", "2026-01-05 09:00")
    act = {"still": "COL", "sources": [{"vessel": "NS"}], "family": "gin"}
    world.record("charge", "2026-02-10 09:00", confirm=["production-suspended"], **act)


def test_the_page_lists_them(world, client):
    notice(world, "suspension", "2026-01-05 09:00", effective_from="2026-02-01")
    client.force_login(world.reader)
    page = client.get("/notices/").content.decode()
    assert "Production is suspended (19.292)" in page
    assert "/book/1/" in page
    assert "Keep a notice" not in page
