"""A still run's page: noted on by touch, watched from another tablet, closed with its balance."""

import re
from datetime import timedelta

import pytest
from django.utils import timezone

from distillery.models import DatedSetting, Reading, StillReading
from tests.distillery.operations.plant_floor import charge, collect, deliver, mash
from tests.distillery.stock import put
from tests.world import ZONE

pytestmark = pytest.mark.django_db


def ago(minutes: int) -> str:
    """The plant's time so many minutes ago."""
    return f"{(timezone.now() - timedelta(minutes=minutes)).astimezone(ZONE):%Y-%m-%d %H:%M}"


@pytest.fixture
def gin(world):
    """A gin run of 38 PG charged an hour ago; its code is RUN-1."""
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    charge(
        world, "NS", family="gin", type_code="", water="30 gal", lot="RUN-1", at=ago(60),
    )  # fmt: skip
    return world


def told(client, path="/runs/RUN-1/") -> str:
    response = client.get(path)
    assert response.status_code == 200
    return re.sub(r"\s+", " ", response.content.decode())


def note(client, **fields):
    return client.post("/runs/RUN-1/note/", {"key": "card-1", **fields}, follow=True)


def test_the_card_keeps_a_reading_with_the_time_it_is_now(gin, client_of):
    response = note(
        client_of(gin.operator), temperature="178", reading="192.82", reading_temperature="72.15"
    )
    assert response.redirect_chain == [("/runs/RUN-1/", 302)]
    row = Reading.objects.get()
    # 27 CFR 30.23: 192.82 at 72.15 F is 190.0 proof.
    assert (str(row.proof), row.by, row.lot.code) == ("190.0", "bo", "RUN-1")
    assert timezone.now() - row.at < timedelta(minutes=2)
    assert "178.0 °F · 190.0 proof" in told(client_of(gin.reader))


def test_a_double_tap_and_a_later_retry_keep_one(gin, client_of):
    at = ago(9).replace(" ", "T")
    gin.record("still-reading", at, key="card-1", still="POT", temperature="178", by=gin.operator)
    page = note(client_of(gin.operator), temperature="178").content.decode()
    assert "This was noted before." in page
    assert Reading.objects.count() == 1


def test_the_same_key_with_other_figures_keeps_what_was_typed(gin, client_of):
    client = client_of(gin.operator)
    note(client, temperature="178")
    page = note(client, temperature="181").content.decode()
    assert "was used for another reading" in page
    assert 'value="181"' in page
    assert Reading.objects.count() == 1


def test_two_people_at_once_lose_nothing(gin, client_of):
    note(client_of(gin.operator), key="a", temperature="178")
    note(client_of(gin.owner), key="b", temperature="179")
    assert Reading.objects.count() == 2
    assert told(client_of(gin.reader), "/runs/RUN-1/now/").count("<tr><td>") == 2


def test_what_is_wrong_stands_beside_its_box_and_is_kept(gin, client_of):
    page = note(client_of(gin.operator), temperature="178", reading="120").content.decode()
    assert "like 68 F" in page
    assert 'value="178"' in page
    assert not Reading.objects.exists()


def test_an_unlikely_figure_is_asked_and_kept_once_confirmed(gin, client_of):
    client = client_of(gin.operator)
    page = note(client, temperature="230").content.decode()
    assert 'value="odd-temperature"' in page
    assert "Nothing is noted yet" in page
    note(client, temperature="230", confirm="odd-temperature")
    assert Reading.objects.count() == 1


def test_one_tap_cuts_and_the_collection_is_filled_in(gin, client_of):
    client = client_of(gin.operator)
    assert "Foreshots from now" in told(client)
    note(client, cut="heads", receiver="RCV-1")
    note(client, key="card-2", cut="hearts", receiver="RCV-2")
    assert list(StillReading.objects.order_by("pk").values_list("cut", flat=True)) == [
        "heads", "hearts",
    ]  # fmt: skip
    page = told(client)
    assert "<strong>Hearts</strong> run since" in page
    prefilled = "/record/collect/?vessel=POT&amp;fraction=heads&amp;into=RCV-1"
    assert prefilled in page
    form = told(client, prefilled.replace("&amp;", "&"))
    assert '<option value="heads" selected>' in form
    assert '<option value="RCV-1" selected>' in form
    collect(gin, "heads", "0.5 gal", "170", at=ago(0))
    assert prefilled not in told(client)


def test_alcohol_collected_stands_against_what_was_charged(gin, client_of):
    collect(gin, "heads", "10 gal", "190", at=ago(30))
    page = told(client_of(gin.reader))
    # 10 gal at 190 proof are 19.00 PG, half of the 38.00 charged (27 CFR 30.11).
    assert "19.00 PG</strong> collected of" in page
    assert "50.0 %" in page
    assert "36.48 PG to 38.00 PG (common practice, no source)" in page


def test_the_next_reading_is_due_by_the_plants_own_interval(gin, client_of):
    client = client_of(gin.reader)
    assert "Not read yet. The next was due 45 min ago, every 15 min" in told(client)
    DatedSetting.objects.create(
        premises=gin.premises, name="still_minutes", value="90", effective="2026-01-01"
    )
    assert "The next is due in 29 min, every 1 h 30 min" in told(client)
    DatedSetting.objects.update(value="0")
    assert "the plant has set no interval" in told(client)


def test_a_stopped_still_is_shown_so_and_goes_on(gin, client_of):
    client = client_of(gin.operator)
    gin.record("stop-still", ago(10), still="POT", why="to load the basket")
    page = told(client)
    assert "to load the basket. No reading is due." in page
    assert "/record/load-basket/?vessel=POT" in page
    gin.record("run-on", ago(5), still="POT")
    assert "No reading is due" not in told(client)


def test_a_run_that_went_on_as_another_lot_keeps_its_page(gin, client_of):
    client = client_of(gin.operator)
    note(client, temperature="178")
    juniper = deliver(gin, "JUNIPER", "2,000 g", "SHELF")
    done = gin.record(
        "load-basket", ago(0), still="POT", botanicals=[{"lot": juniper, "quantity": "900 g"}]
    )
    after = done.entry.lots_opened.get().code
    assert client.get("/runs/RUN-1/")["Location"] == f"/runs/{after}/"
    page = told(client, f"/runs/{after}/")
    assert "38.00 PG" in page
    assert "178.0 °F" in page


def test_a_closed_run_shows_its_balance_and_takes_no_reading(gin, client_of):
    collect(gin, "hearts", "20 gal", "188", at=ago(20))
    gin.record("close-run", ago(5), still="POT", confirm=["fraction-missing"])
    page = told(client_of(gin.operator))
    assert "<strong>Closed.</strong>" in page
    assert "recovered" in page
    assert 'id="still-reading"' not in page


def test_wash_is_measured_against_the_estimate_by_gravity(world, client_of):
    # 131.25 x (1.060 - 1.000) = 7.875 %, in 140 gal: 22.05 PG (common practice, no source).
    mash(world, wash="140 gal", gravity="1.060", at=ago(4000), confirm=["odd-strength"])
    world.record("ferment-reading", ago(90), vessel="FV-1", gravity="1.000")
    charge(world, "FV-1", lot="RUN-1", at=ago(60))
    assert "about 22.05 PG" in told(client_of(world.reader))


def test_a_refresh_without_a_log_in_says_so_in_its_place(gin, client_of):
    response = client_of().get("/runs/RUN-1/now/", headers={"HX-Request": "true"})
    assert 'id="run-now"' in response.content.decode()
    assert "You are signed out" in response.content.decode()
    assert "PG" not in response.content.decode()


def test_the_paper_is_a_pdf_and_waits_for_a_figure(gin, client_of):
    client = client_of(gin.operator)
    assert client.get("/runs/RUN-1/curve.pdf").status_code == 404
    note(client, temperature="178")
    paper = client.get("/runs/RUN-1/curve.pdf")
    assert paper.content.startswith(b"%PDF")


def test_what_is_no_run_has_no_page(gin, client_of):
    for path in ("/runs/N-1/", "/runs/NO-SUCH/", "/runs/N-1/now/"):
        assert client_of(gin.operator).get(path).status_code == 404
    assert client_of(gin.reader).post("/runs/RUN-1/note/", {"key": "x"}).status_code == 403


def test_still_lot_and_floor_lead_there(gin, client_of):
    for path in ("/", "/vessels/POT/", "/lots/RUN-1/"):
        assert 'href="/runs/RUN-1/"' in told(client_of(gin.reader), path), path


def test_a_card_sent_after_the_log_in_was_lost_comes_back_to_the_run(gin, client_of):
    response = client_of().post("/runs/RUN-1/note/", {"key": "x", "temperature": "178"})
    assert response["Location"] == "/log-in/?next=/runs/RUN-1/"
    assert not Reading.objects.exists()


def test_a_run_inside_processing_is_watched_too(world, client_of):
    put(world, "processing", "P-1", "B-1X", wine="20", proof="30", class_code="gin", stage="batch")
    sources = [{"vessel": "P-1"}]
    world.record(
        "still-charge-processing", ago(60), still="POT", sources=sources, formula="1",
        family="gin", lot="RUN-2", water="30 gal", confirm=["formula-not-in-use"],
    )  # fmt: skip
    client = client_of(world.operator)
    note = {"key": "n", "temperature": "176", "cut": "hearts", "receiver": "RCV-2"}
    client.post("/runs/RUN-2/note/", note)
    page = told(client, "/runs/RUN-2/")
    assert "/record/still-collect-processing/?vessel=POT&amp;outputs-0-vessel=RCV-2" in page
    out = {"vessel": "RCV-2", "what": "spirits", "volume": "15 gal", "temperature": "60 F",
           "proof": "160", "family": "gin", "name": "Gin"}  # fmt: skip
    world.record("still-collect-processing", ago(1), still="POT", outputs=[out])
    # 15 gal at 160 proof are 24.00 PG, four fifths of 30 (27 CFR 30.11).
    page = told(client, "/runs/RUN-2/")
    assert "24.00 PG</strong> collected of" in page
    assert "80.0 %" in page


def test_a_closed_run_leads_to_the_gauge_of_its_hearts(gin, client_of):
    # 27 CFR 19.289(a): what a run gave is gauged when its production ends; heads go back to a still
    collect(gin, "heads", "0.5 gal", "170", into="RCV-1", at=ago(40))
    collect(gin, "hearts", "22 gal", "160", into="RCV-2", at=ago(20))
    client = client_of(gin.operator)
    assert "/record/production-gauge/" not in told(client)
    gin.record("close-run", ago(10), still="POT")
    page = told(client)
    assert "/record/production-gauge/?vessel=RCV-2" in page
    assert "/record/production-gauge/?vessel=RCV-1" not in page
    gin.record(
        "production-gauge", ago(5), vessel="RCV-2", into="S-1", account="storage", family="gin",
        distilled_at="160", gauge={"volume": "22 gal", "temperature": "60 F", "proof": "160"},
        type_code="distilled gin",
    )  # fmt: skip
    assert "/record/production-gauge/" not in told(client)


def test_a_cut_alone_is_no_reading(gin, client_of):
    gin.record("still-reading", ago(20), still="POT", temperature="172 F")
    gin.record("still-reading", ago(2), still="POT", cut="tails")
    client = client_of(gin.operator)
    page = told(client)
    # Every 15 minutes unless the plant says otherwise; the cut puts off nothing.
    assert "Last read 20 min ago. The next was due 5 min ago" in page
    assert "Last reading</span> <strong>172.0 °F" in page
    assert 'class="next-cut"' not in page  # nothing usually follows the tails
    assert "last read 20 min ago, a reading was due 5 min ago" in told(client, "/")
    assert page.count("Undo the reading") <= 1
