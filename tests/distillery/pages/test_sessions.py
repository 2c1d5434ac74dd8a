"""A late answer takes no session away from the person who is here now."""

import pytest
from django.conf import settings

from tests.distillery.pages.shared_tablet import switch
from tests.distillery.pages.shared_tablet import tablet as tablet  # the fixture

pytestmark = pytest.mark.django_db
SCRIPT = {"Sec-Fetch-Mode": "cors"}  # W3C Fetch Metadata Request Headers, section 2.2
PERSON = {"Sec-Fetch-Mode": "navigate"}


@pytest.fixture
def late(world, tablet):
    """A tablet whose next request still bears the session that was locked meanwhile."""
    switch(tablet, world.operator, "7391")
    gone = tablet.cookies[settings.SESSION_COOKIE_NAME].value
    tablet.post("/who/lock/")
    tablet.cookies[settings.SESSION_COOKIE_NAME] = gone
    return tablet


@pytest.mark.parametrize(
    "headers", [SCRIPT, {"Accept": "*/*"}, {"HX-Request": "true"}], ids=["cors", "any", "part"]
)
def test_what_a_script_fetched_late_forgets_no_session(late, headers):
    response = late.get("/book/", headers=headers)
    assert settings.SESSION_COOKIE_NAME not in response.cookies


def test_a_page_that_a_person_opens_drops_the_session_that_is_gone(late):
    response = late.get("/book/", headers=PERSON)
    assert response.cookies[settings.SESSION_COOKIE_NAME]["max-age"] == 0
