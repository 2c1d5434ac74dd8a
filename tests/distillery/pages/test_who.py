"""A shared tablet: who is on it, how it locks, and what a short code does not open."""

from datetime import timedelta

import pytest
from django.contrib.auth.hashers import identify_hasher
from django.core.exceptions import ValidationError
from django.utils import timezone

from distillery.devices import COOKIE, register, revoke
from distillery.models import DatedSetting, Device, Pin, PinTries
from distillery.pins import CLOSED, WRONG, check_code, set_pin
from ledger.models import Entry
from tests.distillery.pages.shared_tablet import CLOSE, CORN, RECEIVE, looked_over, rest, switch
from tests.distillery.pages.shared_tablet import tablet as tablet  # the fixture

pytestmark = pytest.mark.django_db


def test_an_owner_makes_a_browser_a_tablet(world, client_of):
    client = client_of(world.owner)
    response = client.post("/tablets/", {"name": "Still house tablet"})
    assert response.status_code == 302
    kept = client.cookies[COOKIE]
    assert kept["httponly"]
    assert kept["max-age"] == 400 * 24 * 3600  # the longest that browsers keep (RFC 6265bis 5.5)
    device = Device.objects.get()
    assert device.secret_hash not in kept.value
    assert "Still house tablet" in client.get("/tablets/").content.decode()
    assert "already" not in client.get("/").content.decode()


@pytest.mark.parametrize("name", ["", "   ", "x" * 61, "tab\u202elet", "Taken"])
def test_a_tablet_is_named_in_plain_words_once(world, name):
    register(world.premises, "Taken", by="ada")
    with pytest.raises(ValidationError):
        register(world.premises, name, by="ada")


@pytest.mark.parametrize("code", ["", "123", "123456789", "12a4", "٣٤٥٦", "1111", "3456", "9876",
                                  "1212", "2233", "7778", "1987", "2026"])  # fmt: skip
def test_a_code_is_four_to_eight_digits_and_not_the_first_guess(code):
    with pytest.raises(ValidationError):
        check_code(code)


def test_a_person_sets_their_own_code_with_the_password(world, client_of):
    client = client_of(world.operator)
    good = {"password": "bo-of-marram", "code": "7391", "again": "7391"}
    for wrong in ({"password": "guess"}, {"again": "7392"}, {"code": "1234", "again": "1234"}):
        told = client.post("/who/code/", {**good, **wrong})
        assert "There is a problem" in told.content.decode()
        assert not Pin.objects.exists()
    assert client.post("/who/code/", good).status_code == 302
    kept = Pin.objects.get(user=world.operator).code_hash
    assert "7391" not in kept
    assert identify_hasher(kept)


def test_nobody_on_the_tablet_is_sent_to_the_names(world, tablet):
    response = tablet.get("/book/")
    assert response["Location"] == "/who/?next=%2Fbook%2F"
    told = tablet.get(response["Location"]).content.decode()
    for name in ("ada", "bo", "cy"):
        assert f">{name}" in told
    assert "dee" not in told


def test_a_name_without_a_code_leads_to_the_password(world, tablet):
    Pin.objects.filter(user=world.reader).delete()
    response = tablet.post("/who/", {"person": world.reader.pk, "next": "/book/"})
    assert response["Location"] == "/log-in/?next=/book/"


def test_a_name_and_a_code_open_it_with_that_persons_role(world, tablet):
    keys = tablet.post("/who/", {"person": world.reader.pk, "next": "/book/"}).content.decode()
    assert 'data-key="7"' in keys
    response = switch(tablet, world.reader, "4826", next="/book/")
    assert response["Location"] == "/book/"
    assert tablet.get("/book/").status_code == 200
    assert tablet.get("/record/").status_code == 403
    switch(tablet, world.operator, "7391")
    assert tablet.get("/record/").status_code == 200


@pytest.mark.parametrize(
    "address", ["https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example",
                "javascript:alert(1)", "http:///elsewhere.example"],
)  # fmt: skip
def test_one_never_goes_on_to_another_site(world, tablet, address):
    response = switch(tablet, world.operator, "7391", next=address)
    assert response["Location"] == "/"
    assert tablet.post("/who/lock/", {"next": address})["Location"] == "/who/?next=%2F"


def test_a_stranger_is_not_among_the_names(world, tablet):
    dee = type(world.owner).objects.get(username="dee")
    set_pin(dee, "8264", now=timezone.now())
    assert "Who are you" in switch(tablet, dee, "8264").content.decode()
    assert "_auth_user_id" not in tablet.session


def test_a_code_opens_nothing_off_the_tablets(world, tablet, client_of):
    other = client_of()
    assert switch(other, world.operator, "7391")["Location"] == "/log-in/"
    other.cookies[COOKIE] = "made:up:cookie"
    assert switch(other, world.operator, "7391")["Location"] == "/log-in/"


def test_wrong_codes_make_a_person_wait_on_that_tablet(world, tablet, monkeypatch):
    for _ in range(5):
        assert WRONG in switch(tablet, world.operator, "0000").content.decode()
    told = switch(tablet, world.operator, "7391").content.decode()
    assert "Wait 15 min" in told
    assert switch(tablet, world.reader, "4826").status_code == 302  # another person is free
    PinTries.objects.update(last_at=timezone.now() - timedelta(minutes=16))
    assert switch(tablet, world.operator, "7391").status_code == 302
    assert not PinTries.objects.filter(user=world.operator).exists()


def test_wrong_codes_of_one_name_add_up_over_all_tablets(world, tablet, client_of):
    other = client_of()
    other.cookies[COOKIE] = register(world.premises, "Store tablet", by="ada")[1]
    for client in (tablet, other, tablet, other, tablet):
        assert WRONG in switch(client, world.operator, "0000").content.decode()
    for client in (tablet, other):
        told = switch(client, world.operator, "7391").content.decode()
        assert "Too many wrong codes for this name. Wait 15 min" in told
        assert switch(client, world.reader, "4826").status_code == 302


def test_wrong_codes_on_one_tablet_add_up_over_all_names(world, tablet, client_of):
    names = (world.operator, world.owner, world.reader)
    for number in range(10):
        assert WRONG in switch(tablet, names[number % 3], "0000").content.decode()
    for user, code in ((world.operator, "7391"), (world.reader, "4826")):
        told = switch(tablet, user, code).content.decode()
        assert "Too many wrong codes on this tablet. Wait 15 min" in told
    other = client_of()
    other.cookies[COOKIE] = register(world.premises, "Store tablet", by="ada")[1]
    assert switch(other, world.reader, "4826").status_code == 302  # another tablet is free
    PinTries.objects.update(last_at=timezone.now() - timedelta(minutes=16))
    assert switch(tablet, world.operator, "7391").status_code == 302


def test_ones_own_right_code_forgives_nothing_of_another_name(world, tablet):
    for number in range(10):
        assert (
            WRONG in switch(tablet, (world.operator, world.owner)[number % 2], "0").content.decode()
        )
        if number % 4 == 3:
            assert switch(tablet, world.reader, "4826").status_code == 302
    assert "on this tablet" in switch(tablet, world.reader, "4826").content.decode()


def test_a_refused_try_is_not_counted_and_old_ones_add_up_no_more(world, tablet):
    for _ in range(9):
        switch(tablet, world.operator, "0000")
    assert PinTries.objects.get().wrong == 5
    PinTries.objects.update(last_at=timezone.now() - timedelta(minutes=16))
    for _ in range(5):  # after the wait as many again, and not one at a time
        assert WRONG in switch(tablet, world.operator, "0000").content.decode()
    assert "Wait 15 min" in switch(tablet, world.operator, "0000").content.decode()
    row = PinTries.objects.get()
    assert (row.wrong, row.lately) == (10, 5)


def test_no_number_of_wrong_codes_holds_up_a_password(world, tablet):
    for number in range(30):
        switch(tablet, (world.operator, world.owner)[number % 2], "0000")
    logged = tablet.post("/log-in/", {"username": "bo", "password": "bo-of-marram"})
    assert logged.status_code == 302
    assert tablet.get("/book/").status_code == 200


def test_fifteen_wrong_codes_close_it_until_the_password(world, tablet):
    PinTries.objects.create(
        device=tablet.device, user=world.operator, wrong=15,
        last_at=timezone.now() - timedelta(days=3),
    )  # fmt: skip
    assert CLOSED in switch(tablet, world.operator, "7391").content.decode()
    logged = tablet.post("/log-in/", {"username": "bo", "password": "bo-of-marram"})
    assert logged.status_code == 302
    assert switch(tablet, world.operator, "7391").status_code == 302


def test_a_record_names_person_and_tablet(world, tablet):
    switch(tablet, world.operator, "7391")
    tablet.post(RECEIVE, looked_over(tablet))
    entry = Entry.objects.get(key="from-the-tablet")
    assert entry.by == "bo"
    assert '"tablet": "Still house tablet"' in entry.form
    told = tablet.get(f"/book/{entry.number}/").content.decode()
    assert "by bo on Still house tablet" in told
    listed = tablet.get("/book/?tablet=Still+house+tablet").content.decode()
    assert f"/book/{entry.number}/" in listed
    assert "/book/1/" not in listed
    assert "/book/1/" in tablet.get("/book/?by=ada").content.decode()
    assert "/book/1/" not in tablet.get("/book/?by=bo").content.decode()


def test_a_page_cannot_name_another_tablet(world, tablet):
    switch(tablet, world.operator, "7391")
    tablet.post(RECEIVE, {**looked_over(tablet), "tablet": "Another"})
    assert "Another" not in Entry.objects.get(key="from-the-tablet").form


def test_a_file_names_only_a_tablet_of_the_plant(world, tablet):
    facts = {name: value for name, value in CORN.items() if name not in ("at", "key")}
    with pytest.raises(Exception, match="There is no tablet “Another”"):
        world.record("receive-material", "2026-01-06 10:00", tablet="Another", **facts)
    done = world.record(
        "receive-material", "2026-01-06 10:00", tablet="Still house tablet", **facts
    )
    assert '"tablet": "Still house tablet"' in done.entry.form


def test_what_was_kept_cannot_be_changed(world, tablet):
    response = switch(tablet, world.operator, "7391", kept="made:up")
    assert response["Location"] == "/"
    assert Entry.objects.count() == 1


def test_it_does_not_lock_while_it_is_used_nor_where_the_owner_says_never(world, tablet):
    switch(tablet, world.operator, "7391")
    rest(tablet, minutes=9)
    assert tablet.get("/book/").status_code == 200
    rest(tablet, minutes=9)
    assert tablet.get("/book/").status_code == 200
    DatedSetting.objects.create(
        premises=world.premises, name="lock_minutes", value="0", effective="2026-01-01"
    )
    rest(tablet, minutes=900)
    assert tablet.get("/book/").status_code == 200


def test_what_refreshes_by_itself_does_not_keep_it_awake_nor_lead_away(world, tablet):
    switch(tablet, world.operator, "7391")
    rest(tablet, minutes=9)
    by_itself = {"HTTP_SEC_FETCH_MODE": "cors", "HTTP_HX_REQUEST": "true"}
    assert tablet.get("/", **by_itself).status_code == 200
    assert timezone.now().timestamp() - tablet.session["seen"] > 8 * 60
    # Without TLS a browser names no mode (Fetch Metadata, 2.1): what it accepts tells then.
    for without in ({"HTTP_HX_REQUEST": "true"}, {"HTTP_ACCEPT": "*/*"}):
        assert tablet.get("/", **without).status_code == 200
        assert timezone.now().timestamp() - tablet.session["seen"] > 8 * 60
    rest(tablet, minutes=11)
    live = tablet.post(f"{RECEIVE}live/", CORN, **by_itself)
    assert (live.status_code, live.content) == (204, b"")
    assert tablet.get("/", **by_itself).status_code == 204
    sent = tablet.post("/tablet/send/", "{}", "application/json", HTTP_SEC_FETCH_MODE="cors")
    assert sent["Location"].startswith("/who/")  # the tablet keeps it and sends it later
    assert tablet.get("/")["Location"] == "/who/?next=%2F"


def test_an_ended_tablet_ends_what_was_opened_on_it(world, tablet):
    switch(tablet, world.operator, "7391")
    revoke(tablet.device, now=timezone.now())
    assert tablet.get("/")["Location"] == "/log-in/?next=/"


def test_what_binds_the_plant_asks_the_owner_for_the_password(world, tablet):
    switch(tablet, world.owner, "2580")
    page = tablet.post(CLOSE, {"note": "kept"})
    assert "Your password, for this" in page.content.decode()
    world.premises.refresh_from_db()
    assert world.premises.closed_through is None
    kept = page.context["kept"]
    wrong = tablet.post("/who/password/", {"kept": kept, "password": "2580"})
    assert "The password is wrong" in wrong.content.decode()
    direct = tablet.post("/who/password/", {"kept": kept, "password": "ada-of-marram"})
    assert direct.status_code == 302
    world.premises.refresh_from_db()
    assert str(world.premises.closed_through) == "2026-01-01"


def test_the_set_up_asks_for_the_password_too(world, tablet):
    world.owner.is_staff = True
    world.owner.save()
    switch(tablet, world.owner, "2580")
    response = tablet.get("/plant/admin/")
    assert response["Location"] == "/who/password/?next=%2Fplant%2Fadmin%2F"
    done = tablet.post("/who/password/", {"next": "/plant/admin/", "password": "ada-of-marram"})
    assert done["Location"] == "/plant/admin/"
    assert tablet.get("/plant/admin/").status_code == 200  # good for a while


def test_a_log_in_by_password_is_not_asked_again(world, tablet):
    world.owner.is_staff = True
    world.owner.save()
    tablet.post("/log-in/", {"username": "ada", "password": "ada-of-marram"})
    assert tablet.get("/plant/admin/").status_code == 200


def test_the_acts_that_ask_are_real_addresses():
    from distillery.by_pin import BINDING
    from tests.distillery.pages.addresses import addresses

    assert {one.name for one in addresses()} >= BINDING


def test_locking_by_hand_leaves_nobody_on_it(world, tablet):
    switch(tablet, world.operator, "7391")
    assert tablet.post("/who/lock/", {"next": "/book/"})["Location"] == "/who/?next=%2Fbook%2F"
    assert "_auth_user_id" not in tablet.session


def test_an_undo_and_a_chain_taken_back_name_the_tablet_too(world, tablet):
    switch(tablet, world.owner, "2580")
    tablet.post(RECEIVE, looked_over(tablet))
    entry = Entry.objects.get(key="from-the-tablet")
    tablet.post(f"/book/{entry.number}/done/")
    chain = tablet.get("/book/1/chain/").context["token"]
    tablet.post("/book/1/chain/", {"chain": chain, "reason": "wrong bin", "key": "k-chain"})
    undone = Entry.objects.filter(operation="reverse")
    assert undone.count() == 2
    assert all('"tablet": "Still house tablet"' in one.form for one in undone)
