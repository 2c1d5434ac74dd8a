"""Cautions that are ticked: asked once, and never in the way of a record."""

import json

import pytest

from distillery.cautions import versioned, words_seen
from distillery.models import CautionWording
from distillery.pages.ticks import DANGEROUS, UNSEEN
from distillery.safety import ENTERED, OPENED_STILL, SEEN
from ledger.models import Entry
from tests.distillery.stock import put

pytestmark = pytest.mark.django_db

ENTRY = versioned(ENTERED.code, ENTERED.text)
STILL = versioned(OPENED_STILL.code, OPENED_STILL.text)
CLEAN = "/record/clean-vessel/"
WENT_IN = {
    "key": "k-clean", "at": "2026-01-06T10:00", "vessel": "TUN-1", "is_ready": "on",
    "entered": "on", "permit": "7", "attendant": "cy", "air": "20.8 %, 0, 0.1 %",
}  # fmt: skip


def post(client, address, form, step):
    if step == "confirm":
        form = {
            **form,
            "digest": client.post(address, {**form, "step": "preview"}).context["digest"],
        }
    return client.post(address, {**form, "step": step})


def test_going_into_a_tun_asks_for_a_tick(world, client_of):
    # 29 CFR 1910.146: a permit space is entered by permit only
    told = post(client_of(world.operator), CLEAN, WENT_IN, "preview").content.decode()
    assert f'value="{ENTRY}"' in told
    assert "29 CFR 1910.146" in told


def test_who_went_nowhere_is_asked_nothing(world, client_of):
    form = {name: value for name, value in WENT_IN.items() if name != "entered"}
    told = post(client_of(world.operator), CLEAN, form, "preview").content.decode()
    assert "seen-entry" not in told


def test_a_tick_is_kept_with_the_record(world, client_of):
    post(client_of(world.operator), CLEAN, {**WENT_IN, "confirm": ENTRY}, "confirm")
    entry = Entry.objects.get(key="k-clean")
    assert json.loads(entry.form)["confirm"] == [ENTRY]
    told = client_of(world.reader).get(f"/book/{entry.number}/").content.decode()
    assert f"seen “{ENTERED.text}” ({ENTRY})" in told
    assert "by bo" in told


def test_the_owners_words_are_another_version_and_the_record_keeps_the_one_seen(world, client_of):
    client = client_of(world.operator)
    words = "Nobody goes in before the chief has signed the permit on the board."
    CautionWording.objects.create(
        premises=world.premises, code="seen-entry", lines=words, entered_by="ada"
    )
    told = post(client, CLEAN, WENT_IN, "preview").content.decode()
    own = versioned("seen-entry", words)
    assert f"Seen: {words}" in told
    assert f'value="{own}"' in told
    # A tick of the words before is none of these: it is asked once more, and then recorded.
    asked = post(client, CLEAN, {**WENT_IN, "confirm": ENTRY}, "confirm").content.decode()
    assert UNSEEN in asked
    post(client, CLEAN, {**WENT_IN, "confirm": own}, "confirm")
    entry = Entry.objects.get(key="k-clean")
    CautionWording.objects.create(
        premises=world.premises, code="seen-entry", lines="Other words.", entered_by="ada"
    )
    told = client.get(f"/book/{entry.number}/").content.decode()
    assert f"seen “{words}” ({own})" in told
    assert words_seen("seen-entry.000000") == words_seen("strong-charge") == ""


def test_what_is_not_ticked_is_asked_once_and_then_recorded(world, client_of):
    client = client_of(world.operator)
    asked = post(client, CLEAN, WENT_IN, "confirm").content.decode()
    assert UNSEEN in asked
    assert 'name="asked_once" value="1"' in asked
    assert not Entry.objects.filter(key="k-clean").exists()
    post(client, CLEAN, {**WENT_IN, "asked_once": "1"}, "confirm")
    assert "seen-entry" not in Entry.objects.get(key="k-clean").form


def test_opening_a_running_still_asks_and_an_empty_one_does_not(world, client_of):
    world.record(
        "receive-material", "2026-01-05 10:00", material="JUNIPER", quantity="2,000 g",
        vessel="SHELF", supplier="A farm", lot="JUN-1",
    )  # fmt: skip
    client = client_of(world.operator)
    basket = {
        "key": "k-basket", "at": "2026-03-03T10:00", "still": "POT", "botanicals-0-lot": "JUN-1",
        "botanicals-0-quantity": "500 g", "botanicals-0-vessel": "SHELF",
    }  # fmt: skip
    waits = post(client, "/record/load-basket/", basket, "preview")
    assert "seen-open-still" not in waits.content.decode()
    assert waits.context["ticks"] == []
    put(world, "redistil", "S-2", "N", wine="50", proof="35")
    world.record(
        "charge", "2026-03-02 10:00", still="POT", family="gin",
        sources=[{"vessel": "S-2", "volume": "50 gal"}],
    )  # fmt: skip
    runs = post(client, "/record/load-basket/", basket, "preview").content.decode()
    assert f'value="{STILL}"' in runs


def test_a_file_is_asked_nothing(world):
    """It tells what happened; a caution comes too late for it."""
    done = world.record(
        "clean-vessel", "2026-01-06 10:00", vessel="TUN-1", is_ready=True, entered=True,
        permit="7", attendant="cy", air="20.8 %",
    )  # fmt: skip
    assert done.is_new


def test_every_tick_has_an_act_and_a_source_and_is_short():
    assert {seen.code for _, seen in DANGEROUS.values()} == set(SEEN)
    for seen in SEEN.values():
        assert seen.source
        assert len(seen.text) <= 90
