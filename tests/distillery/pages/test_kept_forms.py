"""A form sent after the lock: its person goes on with it, another is asked, nothing is lost."""

import pytest

from distillery.models import KeptForm, OpenCount
from ledger.models import Entry
from tests.distillery.pages.shared_tablet import CLOSE, CORN, RECEIVE, looked_over, rest, switch
from tests.distillery.pages.shared_tablet import tablet as tablet  # the fixture

pytestmark = pytest.mark.django_db
COUNT = {"kind": "other", "as_of": "2026-01-31"}


def kept_of(tablet, user, code, address=RECEIVE, filled=None):
    """What *user* sent after the tablet had locked, by its signed name."""
    switch(tablet, user, code)
    filled = filled or looked_over(tablet)
    rest(tablet, minutes=11)
    page = tablet.post(address, filled)
    assert "What you filled in is kept" in page.content.decode()
    return page.context["kept"]


def act(tablet, kept, what, **more):
    return tablet.post("/who/kept/", {"kept": kept, "act": what, "next": "/book/", **more})


def text(response):
    return " ".join(response.content.decode().split())


def test_its_person_goes_on_without_a_question(world, tablet):
    kept = kept_of(tablet, world.operator, "7391")
    assert not Entry.objects.filter(key="from-the-tablet").exists()
    wrong = switch(tablet, world.operator, "0000", kept=kept)
    assert wrong.context["kept"] == kept
    done = switch(tablet, world.operator, "7391", kept=kept)
    entry = Entry.objects.get(key="from-the-tablet")
    assert entry.by == "bo"
    assert done["Location"].startswith(f"/book/{entry.number}/")
    again = switch(tablet, world.operator, "7391", kept=kept)  # the same key: the same entry
    assert again["Location"] == done["Location"]


def test_another_is_asked_and_records_it_as_themself(world, tablet):
    kept = kept_of(tablet, world.operator, "7391")
    asked = tablet.get(switch(tablet, world.owner, "2580", kept=kept)["Location"])
    at = KeptForm.objects.get().kept_at.astimezone(world.premises.zone)
    assert f"bo filled this in on {at:%-d %b %Y %H:%M}; it was kept here" in text(asked)
    assert "Record it as ada" in text(asked)
    assert "Set it aside for bo" in text(asked)
    assert "150 lb" in text(asked)  # what it is stands there
    assert not Entry.objects.filter(key="from-the-tablet").exists()
    assert act(tablet, kept, "go-on").status_code == 302
    assert Entry.objects.get(key="from-the-tablet").by == "ada"


def test_set_aside_it_is_shown_to_its_person_and_to_nobody_else(world, tablet):
    kept = kept_of(tablet, world.operator, "7391")
    switch(tablet, world.owner, "2580", kept=kept)
    aside = tablet.get(act(tablet, kept, "later")["Location"])
    assert "Set aside for bo. It is shown here when bo unlocks." in text(aside)
    assert switch(tablet, world.reader, "4826", next="/book/")["Location"] == "/book/"
    shown = tablet.get(switch(tablet, world.operator, "7391", next="/book/")["Location"])
    assert "You filled this in on" in text(shown)
    done = act(tablet, shown.context["kept"], "go-on")
    assert done["Location"].startswith("/book/")
    assert Entry.objects.get(key="from-the-tablet").by == "bo"
    assert switch(tablet, world.operator, "7391", next="/book/")["Location"] == "/book/"


def test_it_is_shown_after_a_log_in_by_password_too(world, tablet):
    kept = kept_of(tablet, world.operator, "7391")
    keys = tablet.post("/who/", {"person": world.operator.pk, "kept": kept}).content.decode()
    assert "/log-in/?next=/who/kept/%3Fkept%3D" in keys
    logged = tablet.post("/log-in/?next=/book/", {"username": "bo", "password": "bo-of-marram"})
    assert logged["Location"].startswith("/who/kept/?kept=")
    assert "You filled this in on" in text(tablet.get(logged["Location"]))
    asked = f"/who/kept/?kept={kept}"  # where the page of the code leads who has the password
    logged = tablet.post("/log-in/", {
        "username": "bo", "password": "bo-of-marram", "next": asked,
    })  # fmt: skip
    assert logged["Location"] == asked


def test_left_for_later_or_thrown_away_by_its_person_alone(world, tablet):
    kept = kept_of(tablet, world.operator, "7391")
    switch(tablet, world.owner, "2580", kept=kept)
    act(tablet, kept, "drop")  # the page offers it to bo alone
    assert KeptForm.objects.exists()
    switch(tablet, world.operator, "7391")
    assert "It waits." in text(tablet.get(act(tablet, kept, "later")["Location"]))
    assert switch(tablet, world.operator, "7391")["Location"].startswith("/who/kept/")
    assert "Nothing of it was recorded" in text(tablet.get(act(tablet, kept, "drop")["Location"]))
    assert switch(tablet, world.operator, "7391")["Location"] == "/"
    assert not KeptForm.objects.exists()
    assert "is not on this page any more" in text(
        tablet.get(act(tablet, kept, "go-on")["Location"])
    )


def test_whose_it_was_may_be_unknown(world, tablet):
    """The session that told it is gone: then whoever unlocks is asked, and may set it aside."""
    kept = kept_of(tablet, world.operator, "7391")
    KeptForm.objects.update(filled_by=None)
    asked = tablet.get(switch(tablet, world.owner, "2580", kept=kept)["Location"])
    assert "Somebody filled this in on" in text(asked)
    act(tablet, kept, "later")
    assert switch(tablet, world.operator, "7391")["Location"].startswith("/who/kept/")


def test_it_is_whose_tablet_it_was_where_it_was_locked_by_hand(world, tablet):
    switch(tablet, world.operator, "7391")
    filled = looked_over(tablet)
    tablet.post("/who/lock/")
    tablet.post(RECEIVE, filled)
    assert KeptForm.objects.get().filled_by == world.operator


def test_a_reader_does_not_record_it_and_it_stays_with_its_person(world, tablet):
    kept = kept_of(tablet, world.operator, "7391")
    switch(tablet, world.reader, "4826", kept=kept)
    assert act(tablet, kept, "go-on").status_code == 403
    assert not Entry.objects.filter(key="from-the-tablet").exists()
    assert KeptForm.objects.get().answered_at is None
    assert switch(tablet, world.operator, "7391")["Location"].startswith("/who/kept/")


def test_a_form_without_a_key_is_answered_once(world, tablet):
    kept = kept_of(tablet, world.operator, "7391", "/counts/", COUNT)
    done = switch(tablet, world.operator, "7391", kept=kept)
    count = OpenCount.objects.get()
    assert done["Location"] == f"/counts/{count.number}/"
    at = KeptForm.objects.get().answered_at.astimezone(world.premises.zone)
    for user, code in ((world.operator, "7391"), (world.owner, "2580")):  # back, and sent again
        again = switch(tablet, user, code, kept=kept)
        if again.status_code == 302:
            again = tablet.get(again["Location"])
        assert f"“Open a count” was sent on {at:%-d %b %Y %H:%M} as bo." in text(again)
        assert "It is not sent again." in text(again)
        assert f'href="/counts/{count.number}/"' in text(again)
    assert "Sent already" in text(act(tablet, kept, "go-on"))
    assert OpenCount.objects.count() == 1


def test_a_form_that_was_refused_is_shown_with_what_is_wrong(world, tablet):
    kept = kept_of(tablet, world.operator, "7391", "/counts/", {**COUNT, "as_of": "soon"})
    told = switch(tablet, world.operator, "7391", kept=kept)
    assert "Give the day like 2026-06-30." in text(told)
    assert not OpenCount.objects.exists()


def test_what_binds_asks_for_the_password_once_it_was_agreed(world, tablet):
    switch(tablet, world.owner, "2580")
    kept = tablet.post(CLOSE, {"note": "kept"}).context["kept"]
    world.operator.memberships.update(role="owner")
    asked = tablet.get(switch(tablet, world.operator, "7391", kept=kept)["Location"])
    assert "ada filled this in on" in text(asked)
    assert "Your password, for this" in text(act(tablet, kept, "go-on"))
    tablet.post("/who/password/", {"kept": kept, "password": "bo-of-marram"})
    world.premises.refresh_from_db()
    assert str(world.premises.closed_through) == "2026-01-01"


def test_the_question_outlasts_a_lock_too(world, tablet):
    kept = kept_of(tablet, world.operator, "7391")
    switch(tablet, world.owner, "2580", kept=kept)
    rest(tablet, minutes=11)
    assert act(tablet, kept, "go-on").context["kept"] == kept
    assert KeptForm.objects.count() == 1
    assert not Entry.objects.filter(key="from-the-tablet").exists()


def test_nothing_kept_leads_on(world, tablet):
    switch(tablet, world.operator, "7391")
    assert tablet.get("/who/kept/?next=/book/")["Location"] == "/book/"
    assert tablet.get("/who/kept/?next=/who/kept/")["Location"] == "/"
    assert tablet.get("/who/kept/?kept=made:up&next=/book/")["Location"] == "/book/"
    assert "is not on this page any more" in text(tablet.get("/book/"))
    assert CORN["key"] not in text(tablet.get("/book/"))
