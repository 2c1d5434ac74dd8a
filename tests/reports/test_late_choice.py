"""What either way of booking a late act does to the reports, shown before it is chosen."""

import re
from datetime import date
from html import unescape

import pytest

from distillery.recording import Refused
from ledger.models import Entry, Premises
from ledger.verifying import verify
from reports.late_choice import advice, choices_for
from reports.month_end import close_month, filings_of
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = pytest.mark.django_db
JANUARY, FEBRUARY = date(2026, 1, 1), date(2026, 2, 1)


@pytest.fixture
def world():
    """January closed: 10 of 100 gal of 190 proof were spilt in it, entry 2."""
    world = make_world()
    put(world, "storage", "S-1", "N", wine="100", proof="190")
    world.record("lose", "2026-01-10 10:00", vessel="S-1", cause="spill", volume="10 gal")
    close_month(world.premises, JANUARY, by="ada")
    return world


def take_back(**more):
    return {"operation": "reverse", "entry": "2", "at": "2026-02-10 10:00", **more}


def choices(world, data):
    return choices_for(data, premises=world.premises, user=world.owner)


def figures(choice):
    return {
        (one.form.slug, one.form.month, change.line, change.column): (change.filed, change.now)
        for one in choice.forms
        for change in one.changes
    }


def test_an_amendment_changes_the_closed_month_and_the_next_opening(world):
    # 10 gal of 190 proof are 19.00 PG (27 CFR 30.51): the loss goes, the closing and the next
    # opening rise by as much. TTB F 5110.11 lines 1, 22, 23.
    amend, _ = choices(world, take_back())
    found = figures(amend)
    assert found["storage", JANUARY, "22", "j"] == (1900, 0)
    assert found["storage", JANUARY, "23", "j"] == (17100, 19000)
    assert found["storage", FEBRUARY, "1", "j"] == (17100, 19000)
    assert amend.below_zero == []


def test_in_the_open_month_the_loss_would_be_below_zero_and_amending_is_advised(world):
    # No figure of the three forms is negative (their official help).
    found = choices(world, take_back())
    now = found[1]
    assert {(change.line, change.now) for _, change in now.below_zero} == {("22", -1900)}
    assert advice(found).startswith("Amend January 2026: booked in February 2026, TTB F 5110.11")


def test_a_late_loss_can_be_booked_either_way(world):
    data = {"operation": "lose", "at": "2026-01-20 10:00", "vessel": "S-1", "cause": "spill",
            "volume": "5 gal"}  # fmt: skip
    found = choices(world, data)
    assert [one.below_zero for one in found] == [[], []]
    assert advice(found) == ""
    assert all(one.forms for one in found)


def test_recording_rightly_instead_is_shown_by_its_net(world):
    # 5 gal were spilt and not 10: 9.50 PG for 19.00 on line 22, in the month that closed.
    data = {"operation": "lose", "at": "2026-01-10 10:00", "vessel": "S-1", "cause": "spill",
            "volume": "5 gal", "instead_of": "2"}  # fmt: skip
    found = choices(world, data)
    assert figures(found[0])["storage", JANUARY, "22", "j"] == (1900, 950)
    assert advice(found).startswith("Amend January 2026")


def test_showing_it_leaves_nothing(world):
    before = Premises.objects.get().last_seal
    choices(world, take_back())
    assert Premises.objects.get().last_seal == before
    assert Entry.objects.count() == 2
    assert filings_of(world.premises, JANUARY).book.is_amended is False
    assert verify(world.premises).faults == []


def test_an_open_month_has_nothing_to_choose(world):
    data = {"operation": "lose", "at": "2026-02-02 10:00", "vessel": "S-1", "cause": "spill",
            "volume": "5 gal"}  # fmt: skip
    with pytest.raises(Refused, match="nothing to choose"):
        choices(world, data)


def text_of(response) -> str:
    return unescape(re.sub(r"\s+", " ", response.content.decode()))


def test_the_page_shows_both_and_goes_on_with_one(world, client):
    client.force_login(world.owner)
    sent = {"entry": "2", "at": "2026-02-10T10:00", "key": "k", "reason": "spilt nothing"}
    form = client.post("/record/reverse/", {**sent, "step": "preview"})
    assert 'formaction="/filings/late/reverse/"' in form.content.decode()
    page = client.post("/filings/late/reverse/", sent)
    told = text_of(page)
    assert "As an amendment of January 2026" in told
    assert "In February 2026, with an explanation" in told
    assert "Line 22" in told
    seen = client.post("/record/reverse/", {**sent, "late": "amend", "step": "preview"})
    done = {**sent, "late": "amend", "step": "confirm", "digest": seen.context["digest"]}
    assert client.post("/record/reverse/", done).status_code == 302
    assert Entry.objects.get(number=3).amends.month == JANUARY


def test_only_the_owner_is_shown_it(world, client):
    client.force_login(world.operator)
    assert client.post("/filings/late/reverse/", {"entry": "2"}).status_code == 403
    client.force_login(world.owner)
    assert client.get("/filings/late/reverse/").status_code == 405


def test_what_cannot_be_read_is_told(world, client):
    client.force_login(world.owner)
    told = text_of(client.post("/filings/late/reverse/", {"entry": "99"}))
    assert "There is no entry 99 here." in told
