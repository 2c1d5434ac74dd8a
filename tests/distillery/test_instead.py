"""Taking back and recording rightly as one act, from a record and from the page."""

from json import loads

import pytest

from distillery.models import BottlingRun
from distillery.recording import Refused
from ledger.models import Entry, Holding, Movement
from ledger.verifying import verify
from tests.distillery.stock import held, put
from tests.world import make_world

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    return make_world()


def move(world, volume, *, at="2026-03-03 10:00", vessel="S-1", to="S-2", **more):
    gauge = {"volume": f"{volume} gal", "temperature": "60 F", "proof": "190"}
    return world.record("transfer", at, vessel=vessel, gauge=gauge, to=to, **more)


def receive(world, quantity="6,000 lb", **more):
    return world.record(
        "receive-material", "2026-01-05 09:00", material="CORN", quantity=quantity,
        vessel="BIN-1", supplier="Dune Grain (invented)", **more,
    )  # fmt: skip


def test_both_entries_are_written_and_what_it_replaces_is_told(world):
    receive(world)
    done = receive(world, "5,900 lb", instead_of=1, reason="misread the ticket")
    back = Entry.objects.get(number=2)
    assert (back.operation, back.reverses.number, back.reason) == (
        "reverse",
        1,
        "misread the ticket",
    )
    assert loads(back.form) == {
        "entry": "1",
        "operation": "reverse",
        "reason": "misread the ticket",
    }
    assert (done.entry.number, loads(done.entry.form)["instead_of"]) == (3, "1")
    assert [(h.lot.code, h.amount) for h in Holding.objects.exclude(amount=0)] == [("G-3", 590000)]
    assert verify(world.premises).faults == []


def test_it_needs_a_reason_and_an_entry(world):
    receive(world)
    with pytest.raises(Refused, match="Say why"):
        receive(world, instead_of=1)
    with pytest.raises(Refused, match="no entry 9 here"):
        receive(world, instead_of=9, reason="x")
    with pytest.raises(Refused, match="number of the entry"):
        receive(world, instead_of="one", reason="x")
    assert Entry.objects.count() == 1


def test_a_refusal_names_what_stands_on_it_and_the_way_round(world):
    put(world, "storage", "S-1", "N", wine="100", proof="190")
    move(world, "60")
    move(world, "59", at="2026-03-04 10:00", vessel="S-2", to="NS")
    with pytest.raises(Refused, match=r"stand on entry 2.*took from there: 3\..*by the"):
        move(world, "10", instead_of=2, reason="wrong tank")
    assert Entry.objects.count() == 3
    assert verify(world.premises).faults == []


def test_the_same_record_sent_twice_is_answered_once(world):
    receive(world)
    fields = {"instead_of": 1, "reason": "misread", "key": "same"}
    first = receive(world, "5,900 lb", **fields)
    second = receive(world, "5,900 lb", **fields)
    assert (first.is_new, second.is_new, second.entry) == (True, False, first.entry)
    assert Entry.objects.count() == 3


def test_an_operator_replaces_only_what_is_their_own(world):
    receive(world)
    with pytest.raises(Refused, match="only what you recorded yourself"):
        receive(world, "5,900 lb", instead_of=1, reason="x", by=world.operator)


def test_what_takes_back_is_not_recorded_instead(world):
    receive(world)
    with pytest.raises(Refused, match="is not recorded instead"):
        world.record("reverse", "2026-01-06 09:00", entry=1, instead_of=1, reason="x")


def test_the_page_fills_in_what_was_recorded(world, client):
    receive(world)
    client.force_login(world.owner)
    page = client.get("/record/receive-material/?instead_of=1").content.decode()
    assert 'value="6,000 lb"' in page
    assert 'name="instead_of" value="1"' in page
    sent = {
        "step": "preview", "key": "p1", "instead_of": "1", "reason": "misread", "material": "CORN",
        "quantity": "5,900 lb", "vessel": "BIN-1", "supplier": "Dune Grain (invented)",
        "at": "2026-01-05T09:00",
    }  # fmt: skip
    seen = client.post("/record/receive-material/", sent)
    assert "Takes back entry 1 and records this instead." in seen.content.decode()
    assert Entry.objects.count() == 1
    sent |= {"step": "confirm", "digest": seen.context["digest"]}
    assert client.post("/record/receive-material/", sent).status_code == 302
    assert Movement.objects.filter(amount=-600000, entry__number=2).exists()
    assert Entry.objects.count() == 3


def test_a_bottling_tank_gauge_is_replaced_with_its_run(world):
    # 27 CFR 19.353. The run that the first gauge opened is void before the second is planned.
    gin = {"class_code": "gin", "type_code": "distilled gin", "stage": "batch"}
    put(world, "processing", "BT-1", "B-1", wine="103.56", proof="93.20", **gin)
    tank = {"volume": "103.00 gal", "temperature": "60 F", "proof": "90.0"}
    act = {"vessel": "BT-1", "product": "GIN-750"}
    world.record("open-bottling", "2026-03-21 08:00", gauge=tank, **act)
    right = {**tank, "volume": "103.50 gal"}
    world.record(
        "open-bottling", "2026-03-21 08:00", gauge=right, instead_of=2, reason="misread", **act
    )
    assert [row.is_void for row in BottlingRun.objects.order_by("pk")] == [True, False]
    assert [(wine, proof) for _, _, wine, proof in held("BT-1")] == [(10350, 9315)]
    assert verify(world.premises).faults == []
