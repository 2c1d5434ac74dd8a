"""A count walked on a tablet: kept place by place, looked over, signed, posted by the one door."""

import re
from datetime import date
from html import unescape

import pytest

from distillery.models import CountedPlace, OpenCount
from distillery.open_counts import wanted
from distillery.papers.count_sheet import count_sheet
from distillery.papers.paper import texts
from ledger.models import Entry, Movement
from ledger.verifying import verify
from tests.distillery.stock import held, put

pytestmark = pytest.mark.django_db
GIN = {
    "stage": "bottled", "unit": "bottle", "form": "bottled", "class_code": "gin",
    "name": "Point gin", "product": "GIN-750", "bottle_ml": 750, "per_case": 12, "label_proof": 900,
}  # fmt: skip


def text_of(response) -> str:
    return unescape(re.sub(r"\s+", " ", response.content.decode()))


@pytest.fixture
def stocked(world):
    put(world, "storage", "S-2", "N-1", wine="63.00", proof="119.70")
    put(world, "processing", "P-1", "B-7", wine="10.00", proof="9.00")
    put(world, "finished", "STORE", "K-1", wine="5.55", proof="4.99", amount=28, **GIN)
    return world


@pytest.fixture
def client(stocked, client_of):
    return client_of(stocked.owner)


def start(client, kind="quarter", **more):
    return client.post("/counts/", {"kind": kind, "as_of": "2026-03-31", "is_blind": "on", **more})


def gauge(volume, proof="190"):
    return {
        "found-volume": f"{volume} gal", "found-temperature": "60 F", "found-proof": proof,
    }  # fmt: skip


def keep(client, vessel, lot, *, at="2026-03-31T10:00", **found):
    data = {"vessel": vessel, "lot": lot, "at": at, "then": "next", **found}
    return client.post("/counts/1/place/", data)


def test_it_is_opened_with_its_kind_and_day(client):
    response = start(client)
    assert response["Location"] == "/counts/1/"
    row = OpenCount.objects.get()
    assert (row.kind, row.as_of, row.is_blind, row.started_by) == (
        "quarter", date(2026, 3, 31), True, "ada",
    )  # fmt: skip


def test_a_quarters_inventory_walks_the_tanks_and_no_bottles(client, stocked):
    # 27 CFR 19.312, 19.333, 19.371: spirits in tanks of each account, packages apart.
    put(stocked, "storage", "B-1", "26A05", wine="14.00", proof="16.00")
    start(client)
    told = text_of(client.get("/counts/1/"))
    assert "S-2" in told
    assert "P-1" in told
    assert "STORE" not in told
    assert "26A05" not in told


def test_blind_the_book_is_hidden_until_something_was_found(client):
    start(client)
    assert "119.70" not in text_of(client.get("/counts/1/"))
    place = text_of(client.get("/counts/1/place/?vessel=S-2&lot=N-1"))
    assert "119.70" not in place
    assert "as the book says" not in place
    keep(client, "S-2", "N-1", **gauge("62.80"))
    told = text_of(client.get("/counts/1/"))
    assert "119.70 PG" in told
    assert "differs" in told
    assert "9.00 PG" not in told  # P-1 was not counted yet


def test_seen_the_book_stands_beside_it(client):
    start(client, is_blind="")
    assert "119.70" in text_of(client.get("/counts/1/"))
    place = text_of(client.get("/counts/1/place/?vessel=S-2&lot=N-1"))
    assert "119.70" in place
    assert "as the book says" in place


def test_a_place_leads_to_the_next_and_the_last_to_the_look_over(client):
    start(client)
    first = keep(client, "S-2", "N-1", **gauge("63.00"))
    assert first["Location"] == "/counts/1/place/?vessel=P-1&lot=B-7"
    assert keep(client, "P-1", "B-7", **gauge("10.00", "90"))["Location"] == "/counts/1/check/"


def test_what_was_found_is_kept_for_the_next_visit(client, client_of, stocked):
    start(client)
    keep(client, "S-2", "N-1", **gauge("62.80"))
    other = client_of(stocked.operator)
    assert "1 counted, 1 to go" in text_of(other.get("/counts/1/"))
    assert 'value="62.80 gal"' in other.get("/counts/1/place/?vessel=S-2&lot=N-1").content.decode()
    keep(other, "S-2", "N-1", **gauge("62.90"))
    row = CountedPlace.objects.get()
    assert (row.by, "62.90" in row.row) == ("bo", True)


def test_a_place_told_too_little_is_not_kept(client):
    start(client)
    response = keep(client, "S-2", "N-1")
    assert "Say one of" in text_of(response)
    assert CountedPlace.objects.count() == 0


def sign(client, step, **more):
    page = client.get("/counts/1/check/")
    sent = {
        "step": step, "key": "count-1", "at": "2026-03-31T11:00", "counter": "Ada",
        "counter_title": "distiller", "statement": "on", **dict(page.context["carried"]), **more,
    }  # fmt: skip
    return client.post("/record/count/", sent)


def test_it_is_looked_over_signed_and_posted(client, stocked):
    start(client)
    keep(client, "S-2", "N-1", **gauge("62.80"))
    keep(client, "P-1", "B-7", **gauge("10.00", "90"))
    told = text_of(client.get("/counts/1/check/"))
    assert "Loss of 0.38 PG: 5110.11 line 22." in told
    assert "under the penalties of perjury" in told
    seen = sign(client, "preview")
    digest = seen.context["digest"]
    done = sign(client, "confirm", digest=digest)
    assert done.status_code == 302
    assert held("S-2") == [("storage", "N-1", 6280, 11932)]
    row = OpenCount.objects.get()
    assert row.closed_by == Entry.objects.latest("pk")
    assert "Signed and posted as" in text_of(client.get("/counts/1/"))
    assert verify(stocked.premises).faults == []


def test_taken_back_it_is_open_again_with_all_that_was_found(client, stocked):
    start(client)
    keep(client, "S-2", "N-1", **gauge("62.80"))
    keep(client, "P-1", "B-7", **gauge("10.00", "90"))
    sign(client, "confirm", digest=sign(client, "preview").context["digest"])
    entry = Entry.objects.latest("pk").number
    stocked.record("reverse", "2026-04-01 09:00", entry=entry, reason="wrong dip")
    assert OpenCount.objects.get().is_open
    assert "2 counted, 0 to go" in text_of(client.get("/counts/1/"))


def test_what_moved_since_the_visit_is_carried_on(client, stocked):
    # 27 CFR 19.372: counted some days off and adjusted. 28 by the book, 27 found; then 12 went.
    start(client, kind="bottled")
    keep(client, "STORE", "K-1", at="2026-03-30T10:00", **{"found-bottles": "27"})
    stocked.record(
        "remove", "2026-03-30 15:00", document="501", initials="ada", consignee="A shop (invented)",
        consignee_state="MA", rows=[{"lot": "K-1", "store": "STORE", "bottles": 12}],
    )  # fmt: skip
    told = text_of(client.get("/counts/1/check/"))
    assert "Shortage of 1 bottle, 0.18 PG: 5110.28 line 45." in told
    assert "27 CFR 19.465" in told
    sign(client, "confirm", digest=sign(client, "preview").context["digest"])
    short = Movement.objects.get(to_account="shortage")
    assert (short.amount, short.proof_gallons) == (1, 18)
    assert held("STORE") == [("finished", "K-1", 297, 267)]


def test_what_moved_on_into_another_lot_is_counted_again(client, stocked):
    start(client)
    keep(client, "S-2", "N-1", at="2026-03-30T10:00", **gauge("63.00"))
    stocked.record("transfer", "2026-03-30 15:00", vessel="S-2", to="S-1", empties=True)
    told = text_of(client.get("/counts/1/"))
    assert "has moved on since it was counted" in told or "nothing in S-2" in told


def test_given_up_it_posts_nothing(client):
    start(client)
    keep(client, "S-2", "N-1", **gauge("62.80"))
    before = Entry.objects.count()
    assert client.post("/counts/1/drop/").status_code == 302
    assert not OpenCount.objects.get().is_open
    assert Entry.objects.count() == before


def test_a_reader_walks_nothing(client, client_of, stocked):
    start(client)
    reader = client_of(stocked.reader)
    assert reader.get("/counts/1/").status_code == 200
    assert reader.get("/counts/1/place/?vessel=S-2&lot=N-1").status_code == 403
    assert reader.post("/counts/", {"kind": "other", "as_of": "2026-03-31"}).status_code == 403


@pytest.mark.parametrize(("query", "shown"), [("", False), ("?book=1", True)])
def test_the_sheet_prints_with_or_without_the_book(client, stocked, query, shown):
    start(client)
    response = client.get(f"/counts/1/sheet.pdf{query}")
    assert response.content.startswith(b"%PDF")
    count = OpenCount.objects.get()
    told = " ".join(texts(count_sheet(count, wanted(count), with_book=shown)))
    assert "N-1" in told
    assert ("119.70" in told) is shown
    assert "I declare under the penalties of perjury" in told  # 27 CFR 19.45, 19.623


def test_barrels_are_ticked_off_where_they_lie(client, stocked):
    put(stocked, "storage", "B-1", "26A05", wine="14.00", proof="16.00")
    put(stocked, "storage", "B-2", "26A06", wine="14.00", proof="16.00")
    start(client, kind="other")
    assert "B-1, Spirits 26A05" in text_of(client.get("/counts/1/barrels/"))
    client.post("/counts/1/barrels/", {"there": ["B-1"]})
    assert [place.vessel.code for place in CountedPlace.objects.all()] == ["B-1"]
    told = text_of(client.get("/counts/1/barrels/"))
    assert "B-2" in told
    assert "B-1" not in told


def test_a_missing_barrel_is_to_be_reported(client, stocked):
    # 27 CFR 19.462(c): a missing package is reported, and its tax paid or a claim filed.
    put(stocked, "storage", "B-1", "26A05", wine="14.00", proof="16.00")
    start(client, kind="other")
    keep(client, "B-1", "26A05", **{"found-empty": "on"})
    told = text_of(client.get("/counts/1/check/"))
    assert "Loss of 16.00 PG: 5110.11 line 22." in told
    assert "27 CFR 19.462(c)" in told
