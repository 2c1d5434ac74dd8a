"""A shared tablet attacked: stolen sessions, guessed passwords, pages and forms left behind."""

import pytest

from distillery.devices import COOKIE, register
from tests.distillery.pages.shared_tablet import CLOSE, rest, switch
from tests.distillery.pages.shared_tablet import tablet as tablet  # the fixture

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("chosen", ["", "x", "-1", "9" * 30, "9" * 5000])
def test_a_name_that_is_none_shows_the_names_again(world, tablet, chosen):
    told = tablet.post("/who/", {"person": chosen, "code": "7391"})
    assert "Who are you" in told.content.decode()


def test_a_session_opened_by_a_code_stays_on_its_tablet(world, tablet, client_of):
    """What is taken from one browser opens nothing in another, not even on a second tablet."""
    switch(tablet, world.operator, "7391")
    taken = tablet.cookies["sessionid"].value
    plain, second = client_of(), client_of()
    second.cookies[COOKIE] = register(world.premises, "Second", by="ada")[1]
    for other in (plain, second):
        other.cookies["sessionid"] = taken
        assert other.get("/").status_code == 302
        assert tablet.get("/").status_code == 302  # and it is ended everywhere
        switch(tablet, world.operator, "7391")
        taken = tablet.cookies["sessionid"].value


def test_the_session_has_another_key_after_each_switch(world, tablet):
    keys = []
    for user, code in ((world.operator, "7391"), (world.owner, "2580"), (world.owner, "2580")):
        switch(tablet, user, code)
        keys.append(tablet.cookies["sessionid"].value)
    assert len(set(keys)) == 3


def test_who_is_made_inactive_or_given_another_role_is_so_at_once(world, tablet):
    switch(tablet, world.operator, "7391")
    assert tablet.get("/record/").status_code == 200
    world.operator.memberships.update(role="reader")
    assert tablet.get("/record/").status_code == 403
    world.operator.is_active = False
    world.operator.save()
    assert tablet.get("/")["Location"] == "/who/?next=%2F"
    assert "Who are you" in switch(tablet, world.operator, "7391").content.decode()


def test_a_code_does_not_forgive_wrong_passwords(world, tablet):
    """Or whoever had seen a code could try passwords without end: ten a log-in, and again."""
    for _ in range(2):
        switch(tablet, world.owner, "2580")
        for _ in range(6):
            told = tablet.post("/who/password/", {"password": "guess"})
    assert told.status_code == 429
    assert tablet.post("/who/password/", {"password": "ada-of-marram"}).status_code == 429


def test_a_right_password_forgives_wrong_ones(world, tablet):
    wrong, right = ({"username": "ada", "password": word} for word in ("guess", "ada-of-marram"))
    for _ in range(2):
        for _ in range(8):
            assert tablet.post("/log-in/", wrong).status_code == 200
        assert tablet.post("/log-in/", right).status_code == 302


def test_a_log_in_by_password_on_the_tablet_binds_after_a_code(world, tablet):
    switch(tablet, world.owner, "2580")
    tablet.post("/log-in/", {"username": "ada", "password": "ada-of-marram"})
    assert tablet.post(CLOSE, {}).status_code == 302


def test_pages_of_a_tablet_are_kept_by_no_browser(world, tablet, client_of):
    """Back after a switch asks again (RFC 9111, 5.2.2.5); a desk's own browser may keep them."""
    switch(tablet, world.operator, "7391")
    for path in ("/", "/book/", "/record/receive-material/", "/who/"):
        assert "no-store" in tablet.get(path)["Cache-Control"]
    assert not client_of(world.operator).get("/book/").has_header("Cache-Control")


def test_a_form_with_a_password_is_not_kept_for_the_next_person_to_read(world, tablet):
    switch(tablet, world.operator, "7391")
    rest(tablet, minutes=11)
    typed = {"password": "bo-of-marram", "code": "8264", "again": "8264"}
    response = tablet.post("/who/code/", typed)
    assert response["Location"] == "/who/?next=%2Fwho%2Fcode%2F"
    world.owner.is_staff = True
    world.owner.save()
    tablet.post("/log-in/", {"username": "ada", "password": "ada-of-marram"})
    rest(tablet, minutes=11)
    typed = {"username": "eve", "password1": "a-long-word", "password2": "a-long-word"}
    response = tablet.post("/plant/admin/auth/user/add/", typed)
    assert response["Location"].startswith("/who/?next=")


def test_what_waits_behind_the_password_outlasts_a_lock_there(world, tablet):
    switch(tablet, world.owner, "2580")
    kept = tablet.post(CLOSE, {"note": "kept"}).context["kept"]
    rest(tablet, minutes=11)
    page = tablet.post("/who/password/", {"kept": kept, "password": "ada-of-marram"})
    assert page.context["kept"] == kept
    assert "ada-of-marram" not in page.content.decode()
    again = switch(tablet, world.owner, "2580", kept=kept)
    assert "Your password, for this" in again.content.decode()
