"""What is due, and the feed at its private address.

Sources: 27 CFR 19.632(b) (the 15th), 19.234-19.236 (returns), 19.312 and 19.333 (a count each
quarter's end), 19.372 (bottled goods, told five business days ahead); RFC 5545 for the feed,
read back by icalendar, a general library.
"""

from datetime import UTC, date, datetime

import pytest
from icalendar import Calendar

from reports.due import due_list
from reports.filing_life import file_report
from reports.month_end import close_month
from reports.return_filing import file_return
from reports.told import Told
from tests.reports.months import JANUARY, LATER

APRIL = datetime(2026, 4, 10, 16, tzinfo=UTC)
TOLD = Told(filed_on=date(2026, 4, 9), filed_by="Ada Quay", how="portal")


def due(book, now=APRIL):
    book.premises.refresh_from_db()
    return {one.what: one for one in due_list(book.premises, now)}


def test_reports_wait_for_the_closing_and_then_for_the_filing(book):
    before = due(book)["Reports of March 2026"]
    assert (before.day, before.waits_for) == (date(2026, 4, 15), "closing the month")
    close_month(book.premises, JANUARY, by="ada", now=LATER)
    assert due(book)["Reports of January 2026"].waits_for == "filing"


def test_a_filed_month_is_not_due(book):
    close_month(book.premises, JANUARY, by="ada", now=LATER)
    for form, source in (("production", ""), ("storage", "domestic"), ("processing", "")):
        file_report(book.premises, JANUARY, form, TOLD, source=source, by="ada", now=APRIL)
    assert "Reports of January 2026" not in due(book)


def test_a_return_is_due_until_it_is_filed(book):
    one = due(book)["Tax return TR-2026-1"]
    assert (one.day, one.waits_for) == (date(2026, 4, 14), "filing and paying")
    assert due(book)["Tax return TR-2026-2"].waits_for == "its end, 30 Jun"
    file_return(book.premises, JANUARY, TOLD, by="ada", now=APRIL)
    assert "Tax return TR-2026-1" not in due(book)


def test_tanks_are_counted_each_quarters_end(book):
    assert due(book)["Inventory of tanks for 31 Mar"].day == date(2026, 3, 31)


def test_bottled_goods_are_counted_twice_a_year_and_told_five_business_days_ahead(book):
    found = due(book)
    assert found["Inventory of bottled goods for 30 Jun"].day == date(2026, 6, 30)
    # 29, 26, 25, 24, 23 June 2026 are the five business days before Tuesday the 30th.
    assert found["Notice of the bottled inventory for 30 Jun"].day == date(2026, 6, 23)


def test_what_is_overdue_says_so(book):
    assert due(book)["Inventory of tanks for 31 Mar"].is_overdue(date(2026, 4, 10))


@pytest.fixture
def owner(world, book, client):
    client.force_login(world.owner)
    return client


def address_from(owner):
    page = owner.post("/filings/calendar/address/").content.decode()
    line = page.split('class="code">', 1)[1].split("<", 1)[0]
    return line.removeprefix("http://testserver")


def test_the_feed_opens_without_a_log_in_and_reads_as_a_calendar(owner, client):
    address = address_from(owner)
    client.logout()
    answer = client.get(address)
    assert answer.status_code == 200
    events = Calendar.from_ical(answer.content).walk("VEVENT")
    told = {str(event["summary"]): event.decoded("dtstart") for event in events}
    assert told["Reports of March 2026"] == date(2026, 4, 15)


def test_a_new_address_takes_the_old_one_away(owner):
    first, second = address_from(owner), address_from(owner)
    assert first != second
    assert owner.get(first).status_code == 404
    assert owner.get(second).status_code == 200


def test_a_guessed_address_tells_nothing(client, world):
    assert client.get("/filings/calendar/guess.ics").status_code == 404


def test_a_person_who_left_reads_no_more(owner, world):
    address = address_from(owner)
    world.owner.is_active = False
    world.owner.save()
    assert owner.get(address).status_code == 404
