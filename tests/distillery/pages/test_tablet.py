"""What a tablet asks of the server: who is here, what to keep, and an answer to each record."""

import json
import re
import struct
from datetime import timedelta

import pytest
from django.contrib.staticfiles import finders
from django.utils import timezone

from distillery import by_pin
from distillery.models import Membership, Reading, TabletRecord
from distillery.operations import operations
from distillery.record_lines import LONGEST
from ledger.closing import close
from ledger.models import Entry
from tests.distillery.operations.plant_floor import charge
from tests.distillery.stock import put
from tests.world import make_person, make_plant

pytestmark = pytest.mark.django_db
SEND = "/tablet/send/"


def line(**more):
    """A record as a tablet sends it."""
    return {
        "operation": "receive-material", "at": "2026-01-06T09:00", "by": "ada", "key": "t-1",
        "made_for": "DSP-XX-00000", "device": "d-1", "made_at": "2026-01-06T09:00:30-05:00",
        "material": "CORN", "quantity": "100 lb", "vessel": "BIN-1", "supplier": "A farm", **more,
    }  # fmt: skip


def send(client, data, **options):
    body = data if isinstance(data, bytes) else json.dumps(data).encode()
    return client.post(SEND, body, content_type="application/json", **options)


@pytest.fixture
def ada(world, client_of):
    return client_of(world.owner)


def test_a_record_is_taken_once_and_then_already_had(world, ada):
    first, again = send(ada, line()).json(), send(ada, line()).json()
    assert first == {"answer": "taken", "entry": 2}
    assert again == {"answer": "had", "entry": 2}
    assert TabletRecord.objects.get().device == "d-1"


def test_a_reading_is_taken_without_an_entry(ada):
    reading = {"operation": "ferment-reading", "vessel": "FV-1", "temperature": "82 F"}
    kept = {name: text for name, text in line().items() if name not in
            ("material", "quantity", "supplier")}  # fmt: skip
    assert send(ada, {**kept, **reading}).json() == {"answer": "taken", "entry": None}


def test_what_is_wrong_comes_as_sentences_led_by_their_labels(ada):
    told = send(ada, line(quantity="", supplier="")).json()
    assert told["answer"] == "look"
    assert "Quantity, like 2,000 lb, or a count: This field is required." in told["sentences"]
    assert not told["closed"]
    assert not told["key_used"]
    assert Entry.objects.count() == 1


def test_two_tablets_that_drew_from_one_tank_end_in_a_question(world, ada, client_of):
    """27 CFR 19.590(b): what moves between tanks is on record; the book never goes below zero."""
    put(world, "storage", "S-1", "N", wine="100", proof="190")
    drawn = {"operation": "transfer", "vessel": "S-1", "volume": "80 gal"}
    kept = {name: text for name, text in line().items() if name not in
            ("material", "quantity", "supplier")}  # fmt: skip
    first = send(ada, {**kept, **drawn, "to": "S-2"}).json()
    second = {**kept, **drawn, "to": "NS", "by": "bo", "key": "t-2", "device": "d-2"}
    told = send(client_of(world.operator), second).json()
    assert first["answer"] == "taken"
    assert told["answer"] == "look"
    assert any("S-1" in text and "by ada" in text for text in told["sentences"])
    assert Entry.objects.count() == first["entry"]


def test_a_question_is_asked_once_and_taken_with_its_code(world, ada):
    put(world, "storage", "S-1", "N", wine="10", proof="19")
    drawn = {"operation": "transfer", "vessel": "S-1", "volume": "12 gal", "to": "S-2"}
    more = {name: text for name, text in line().items() if name not in
            ("material", "quantity", "supplier")} | drawn  # fmt: skip
    told = send(ada, more).json()
    assert told["answer"] == "look"
    codes = [one["code"] for one in told["questions"]]
    assert codes
    assert send(ada, {**more, "confirm": codes}).json()["answer"] == "taken"


def test_a_record_of_a_closed_month_says_so(world, ada):
    close(world.premises, world.when("2026-01-01 00:00").date(), by="ada")
    told = send(ada, line()).json()
    assert told["closed"]
    assert "January 2026 is closed." in " ".join(told["sentences"])
    late = line(late="open", reason="The tablet had no network")
    assert send(ada, late).json()["answer"] == "taken"


def test_a_key_used_for_something_else_says_so(ada):
    send(ada, line())
    told = send(ada, line(quantity="7 lb")).json()
    assert told["key_used"]
    assert Entry.objects.count() == 2


def test_nobody_sends_what_another_person_made(world, client_of):
    told = send(client_of(world.operator), line()).json()
    assert told["answer"] == "other"
    assert Entry.objects.count() == 1


def test_a_record_made_at_another_plant_is_not_taken(world, client_of):
    other = make_plant("DSP-XX-00009", "Other Spit (invented)")
    eve = make_person(other, "eve", "owner")
    told = send(client_of(eve), line(by="eve")).json()
    assert "This was made at plant DSP-XX-00000" in told["sentences"][0]
    assert Entry.objects.count() == 1


@pytest.mark.parametrize(
    ("body", "status", "words"),
    [
        (b"{", 400, "Not JSON"),
        (b"[]", 400, "A record is a JSON object"),
        (b"\xff", 400, "is not UTF-8"),
        (b'{"key": "a", "key": "b"}', 400, "stands twice"),
        (b'{"a": NaN}', 400, "is not a quantity"),
        (b"[" * 100_000, 400, ""),
        (b'{"operation": "fly"}', 200, "There is no operation"),
        (b'{"note": "' + b"x" * LONGEST + b'"}', 413, "longer than 1 MB"),
    ],
)
def test_what_is_no_record_needs_a_look(ada, body, status, words):
    response = send(ada, body)
    assert response.status_code == status
    assert response.json()["answer"] == "look"
    assert words in " ".join(response.json()["sentences"])
    assert Entry.objects.count() == 1


def test_sending_takes_the_token_in_a_header(world, client_of):
    client = client_of(world.owner, enforce_csrf_checks=True)
    assert send(client, line()).status_code == 403
    token = client.get("/tablet/here/").json()["token"]
    assert send(client, line(), headers={"X-CSRFToken": token}).json()["answer"] == "taken"


def test_a_cut_whose_answer_was_lost_is_already_had(world, ada):
    """Sent again it is no second cut, though the book would ask of a second one."""
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    charge(world, "NS", family="gin", type_code="", water="30 gal", at="2026-01-06 08:00")
    kept = {name: text for name, text in line().items() if name not in
            ("material", "quantity", "supplier", "vessel")}  # fmt: skip
    cut = {**kept, "operation": "still-reading", "still": "POT", "cut": "heads"}
    assert send(ada, cut).json() == {"answer": "taken", "entry": None}
    assert send(ada, cut).json() == {"answer": "had", "entry": None}
    assert send(ada, {**cut, "key": "t-2"}).json()["answer"] == "look"
    assert Reading.objects.count() == 1


@pytest.mark.parametrize(
    ("off", "words"),
    [(61, "1 h 1 min ahead of"), (-61, "1 h 1 min behind"), (1441, "24 h 1 min ahead of"),
     (-1441, "24 h 1 min behind"), (9, ""), (-9, "")],
)  # fmt: skip
def test_a_wrong_clock_is_asked_about_once(ada, off, words):
    """Minutes that the tablet's clock is ahead; 10 are let by (common practice, no source)."""
    seconds = 60 * off + (30 if off > 0 else -30)
    told = {"X-Tablet-Time": (timezone.now() + timedelta(seconds=seconds)).isoformat()}
    answer = send(ada, line(), headers=told).json()
    if not words:
        assert answer["answer"] == "taken"
        return
    asked = answer["questions"][0]["text"]
    assert f"{words} the book's. This says it happened 2026-01-06 09:00." in asked
    assert Entry.objects.count() == 1
    yes = line(confirm=[answer["questions"][0]["code"]])
    assert send(ada, yes, headers=told).json()["answer"] == "taken"
    assert send(ada, yes, headers=told).json()["answer"] == "had"


def test_what_is_in_the_book_is_not_asked_about_for_its_clock(ada):
    send(ada, line())
    told = {"X-Tablet-Time": "2020-01-01T00:00:00+00:00"}
    assert send(ada, line(), headers=told).json()["answer"] == "had"


def test_readers_send_nothing(world, client_of):
    assert send(client_of(world.reader), line(by="cy")).status_code == 403
    assert Entry.objects.count() == 1


def test_what_binds_the_plant_asks_for_the_password(world, ada):
    """A short code opens a shared tablet; what only the owner does asks for more."""
    session = ada.session
    session[by_pin.BY_PIN] = True
    session.save()
    device = world.premises.devices.create(name="Still house", secret_hash="x", registered_by="a")
    assert device.pk
    owners = next(one.slug for one in operations().values() if one.owner_only)
    # Off the plant's tablets a session by code ends at once: nothing is sent in its name.
    assert send(ada, line(operation=owners)).status_code in (302, 401)


def test_it_says_who_is_here_and_what_to_keep(world, client_of):
    here = client_of(world.operator).get("/tablet/here/")
    assert (here.json()["person"], here.json()["registry"]) == ("bo", "DSP-XX-00000")
    assert "no-store" in here["Cache-Control"]
    kept = client_of(world.operator).get("/tablet/keep/").json()
    own = {f"/record/{one.slug}/" for one in operations().values() if not one.owner_only}
    assert set(kept["paths"]) == {"/", "/record/", "/readings/", *own}
    assert client_of(world.reader).get("/tablet/keep/").json()["paths"] == ["/"]
    Membership.objects.filter(user=world.operator).delete()
    assert client_of(world.operator).get("/tablet/here/").status_code == 404


@pytest.mark.parametrize("path", ["/tablet/waiting/", "/tablet/offline/"])
def test_the_shell_is_nobodys(world, client, path):
    text = client.get(path).content.decode()
    assert 'data-person=""' in text
    assert "Marram" not in text


def test_the_worker_stands_at_the_root_and_names_its_version(client, settings, tmp_path):
    first = client.get("/service-worker.js")
    assert first["Content-Type"].startswith("text/javascript")
    assert first["Cache-Control"] == "no-cache"
    version = re.search(r'"version": "(\w{16})"', first.content.decode())[1]
    assert version in client.get("/service-worker.js").content.decode()
    # A style sheet of a later version of the app.
    folder = tmp_path / "distillery" / "tablet"
    folder.mkdir(parents=True)
    (folder / "tablet.css").write_text("p { margin: 0; }")
    settings.STATICFILES_DIRS = [tmp_path]
    assert version not in client.get("/service-worker.js").content.decode()


def test_the_manifest_names_icons_that_are_there(client):
    """W3C Web Application Manifest: name, start_url, display, icons of 192 and 512 pixels."""
    response = client.get("/manifest.webmanifest")
    told = response.json()
    assert response["Content-Type"] == "application/manifest+json"
    assert (told["start_url"], told["scope"], told["display"]) == ("/", "/", "standalone")
    for icon in told["icons"]:
        path = finders.find(icon["src"].removeprefix("/static/"))
        with open(path, "rb") as file:
            # PNG (ISO/IEC 15948): width and height stand at bytes 16 to 23.
            wide, high = struct.unpack(">II", file.read(24)[16:])
        assert f"{wide}x{high}" == icon["sizes"]
