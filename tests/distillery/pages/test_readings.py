"""The pages of readings: undone for a minute, voided later with a reason, shown struck through."""

from datetime import timedelta

import pytest
from django.utils import timezone

from distillery.models import Plant, Reading, ReadingVoid
from distillery.pages import undo_reading
from tests.distillery.operations.plant_floor import charge
from tests.distillery.stock import put
from tests.world import ZONE

pytestmark = pytest.mark.django_db


def ago(hours: float) -> str:
    """The plant's time so many hours ago."""
    return f"{(timezone.now() - timedelta(hours=hours)).astimezone(ZONE):%Y-%m-%d %H:%M}"


@pytest.fixture
def fermenting(world):
    """A wash set a day ago at 1.060."""
    world.record(
        "mash", ago(24), grains=[{"lot": "G-1", "quantity": "500 lb"}], into="FV-1",
        wash="200 gal", gravity="1.060", lot="WASH-1",
    )  # fmt: skip
    return world


def page(client, path):
    response = client.get(path)
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def read(world, hours=1, key="r1", by=None, **fields):
    world.record("ferment-reading", ago(hours), key=key, vessel="FV-1", by=by, **fields)


def undo(client, key="r1", **more):
    return client.post("/readings/undo/", {"reading": key, **more}, follow=True)


def test_who_read_it_may_undo_it_on_the_page_that_says_it_was_kept(fermenting, client_of):
    read(fermenting, gravity="1.010", by=fermenting.operator)
    client = client_of(fermenting.operator)
    assert "Undo the reading of FV-1" in page(client, "/readings/?kept=r1")
    done = undo(client)
    assert done.redirect_chain == [("/readings/", 302)]
    assert "The reading of FV-1 is voided." in done.content.decode()
    row = ReadingVoid.objects.get()
    assert (row.reading.key, row.by) == ("r1", "bo")
    assert "Undo the reading of FV-1" not in page(client, "/readings/")


def test_of_several_readings_of_one_vessel_the_last_is_offered(fermenting, client_of):
    read(fermenting, hours=2, gravity="1.020", by=fermenting.operator)
    read(fermenting, hours=1, key="r2", gravity="1.010", by=fermenting.operator)
    told = page(client_of(fermenting.operator), "/readings/")
    assert told.count("Undo the reading of FV-1") == 1
    assert 'name="reading" value="r2"' in told


def test_nobody_else_and_nobody_later_may_undo_it(fermenting, client_of, monkeypatch):
    read(fermenting, gravity="1.010", by=fermenting.operator)
    assert "Undo" not in page(client_of(fermenting.owner), "/readings/?kept=r1")
    done = undo(client_of(fermenting.owner))
    assert done.redirect_chain == [("/vessels/FV-1/#readings", 302)]
    assert "The minute is over." in done.content.decode()
    monkeypatch.setattr(undo_reading, "UNDO", timedelta(0))
    assert "The minute is over." in undo(client_of(fermenting.operator)).content.decode()
    assert not ReadingVoid.objects.exists()


def test_a_key_of_nobodys_reading_is_not_found(fermenting, client_of):
    assert undo(client_of(fermenting.owner), "none").status_code == 404


def test_a_still_reading_is_undone_on_the_runs_page(world, client_of):
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    charge(world, "NS", family="gin", type_code="", water="30 gal", lot="RUN-1", at=ago(1))
    client = client_of(world.operator)
    client.post("/runs/RUN-1/note/", {"key": "c1", "temperature": "178"})
    assert "Undo the reading of POT" in page(client, "/runs/RUN-1/")
    done = undo(client, "c1", run="RUN-1")
    assert done.redirect_chain == [("/runs/RUN-1/", 302)]
    assert not Reading.objects.standing().exists()


def test_it_is_voided_later_from_its_vessel_with_a_reason(fermenting, client_of):
    read(fermenting, gravity="1.010")
    client = client_of(fermenting.owner)
    assert "/record/void-reading/?reading=r1" in page(client, "/vessels/FV-1/")
    form = page(client, "/record/void-reading/?reading=r1")
    assert 'value="r1" selected' in form
    sent = {"key": "v1", "reading": "r1", "at": ago(0).replace(" ", "T")}
    asked = client.post("/record/void-reading/", {**sent, "step": "preview"})
    assert "Say why" in asked.content.decode()
    sent |= {"reason": "Read of FV-2"}
    shown = client.post("/record/void-reading/", {**sent, "step": "preview"}).content.decode()
    assert "stays on record" in shown
    done = client.post("/record/void-reading/", {**sent, "step": "confirm"}, follow=True)
    assert done.redirect_chain == [("/kept/?key=v1", 302)]
    assert 'data-taken="v1"' in done.content.decode()
    told = " ".join(page(client, "/vessels/FV-1/").split())
    assert '<tr class="voided">' in told
    assert "Voided by ada, " in told
    assert ": Read of FV-2" in told
    assert "void-reading/?reading=r1" not in told


def test_the_last_value_and_the_alarm_follow_the_void(fermenting, client_of):
    read(fermenting, gravity="1.0580", hours=0)
    client = client_of(fermenting.owner)
    floor = page(client, "/")
    # 24 hours after 1.060 a grain wash has usually fallen (our own figures, curves/expected.py).
    assert "Slower than usual: 1.058 after 24 h" in floor
    assert "See the curve" in floor
    undo(client)
    floor = page(client, "/")
    assert "Slower than usual" not in floor
    assert "SG 1.060" in floor


def test_a_wash_that_is_done_calls_for_the_still(fermenting, client_of):
    read(fermenting, gravity="1.010", hours=11)
    read(fermenting, gravity="1.010", hours=1, key="r2")
    told = page(client_of(fermenting.owner), "/")
    # Two equal readings 8 to 12 hours apart: common practice, no source.
    assert "Done: equal readings over 10 h. Distil soon" in told


def test_a_plant_that_reads_brix_sees_brix_everywhere(fermenting, client_of):
    Plant.objects.update(gravity_unit="Bx")
    read(fermenting, gravity="10 Bx")
    assert str(Reading.objects.get(key="r1").gravity) == "1.0400"
    client = client_of(fermenting.owner)
    for path in ("/", "/readings/?kept=r1", "/vessels/FV-1/", "/lots/WASH-1/"):
        assert "10.0 °Bx" in page(client, path), path
    assert 'data-prefer="°Bx"' in page(client, "/record/ferment-reading/")
    assert 'data-prefer="°Bx"' in page(client, "/readings/")


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("1032", "1032 has no point. If the specific gravity is 1.032, type 1.032."),
        ("12", "12 is no specific gravity. Type its scale behind it, such as 12 Bx or 12 P."),
        ("45 Bx", "Brix is read from -5 to 40; 45 Bx is outside."),
    ],
)
def test_a_gravity_that_says_nothing_certain_is_asked_for_again(
    fermenting, client_of, typed, words
):
    sent = {"at": ago(0).replace(" ", "T"), "FV-1-gravity": typed, "FV-1-key": "r9"}
    told = client_of(fermenting.owner).post("/readings/", sent).content.decode()
    assert words in told
    assert f'value="{typed}"' in told
    assert not Reading.objects.filter(key="r9").exists()


def test_the_round_asks_for_what_ferments_and_for_no_still(fermenting, client_of):
    put(fermenting, "redistil", "NS", "N-1", wine="20", proof="38")
    fermenting.record("charge", ago(2), still="POT", sources=[{"vessel": "NS"}], family="gin",
                      water="30 gal", lot="RUN-1")  # fmt: skip
    told = page(client_of(fermenting.owner), "/readings/")
    assert 'data-row="FV-1"' in told
    assert 'data-row="POT"' not in told  # it is read by its own act
