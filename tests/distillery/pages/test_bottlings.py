"""The bottling's page: its record, its checks and their picture, and what is due."""

import re
from datetime import date

import pytest

from distillery.check_due import due_of
from distillery.fill_chart import charted
from distillery.fill_picture import pictured
from distillery.models import BottlingRun, DatedSetting
from tests.distillery.pages.conftest import bottled
from tests.world import ZONE, make_person, make_plant

pytestmark = pytest.mark.django_db
PAGE = "/bottlings/BR-3/"


@pytest.fixture
def gin(world):
    bottled(world)
    return world


def told(client, path) -> str:
    response = client.get(path)
    assert response.status_code == 200
    return re.sub(r"\s+", " ", response.content.decode())


def test_it_shows_days_cases_checks_and_gauge(gin, client_of):
    # 27 CFR 19.599, 19.600: 245 bottles of 750 mL at 90 proof are 48.54 WG, 43.69 PG.
    page = told(client_of(gin.reader), PAGE)
    for words in ("1–20, 20R", "48.54", "43.69", "within", "45.1", "748.00, 753.00", "100.07"):
        assert words in page, words


def test_what_can_be_recorded_is_offered_to_those_who_record(gin, client_of):
    link = "/record/bottle-check/?vessel=BT-1"
    assert link in told(client_of(gin.operator), PAGE)
    assert link not in told(client_of(gin.reader), PAGE)


def test_the_picture_has_a_name_a_description_and_a_table(gin, client_of):
    page = told(client_of(gin.reader), PAGE)
    assert 'role="img" aria-labelledby="fill-title fill-desc"' in page
    assert "2 fills in 1 checks, 0 outside the band of 735 to 765 mL" in page
    assert "style=" not in page


def test_tank_lot_and_list_lead_there(gin, client_of):
    client = client_of(gin.reader)
    for path in ("/vessels/BT-1/", "/lots/K-3/", "/bottlings/", "/"):
        assert f'href="{PAGE}"' in told(client, path), path


def test_a_bottling_taken_back_or_unknown_is_not_found(gin, client_of):
    BottlingRun.objects.update(is_void=True)
    assert client_of(gin.reader).get(PAGE).status_code == 404
    assert client_of(gin.reader).get("/bottlings/BR-99/").status_code == 404


def test_low_lies_below_high_and_out_is_another_shape(gin):
    fills = [{"volume": "730 mL"}]
    gin.record(
        "bottle-check", "2026-03-02 12:00", vessel="BT-1", fills=fills,
        corrective_action="cleaned the spout",
    )  # fmt: skip
    chart = charted(pictured(BottlingRun.objects.get()), ZONE)
    high, full, low = (rule.y for rule in chart.rules)
    assert high < full < low
    assert [mark.is_out for mark in chart.marks] == [False, False, True]
    assert chart.marks[-1].y > low
    assert [tick.text for tick in chart.ticks] == ["11:00", "12:00"]


def rule(world, name, value):
    DatedSetting.objects.create(
        premises=world.premises, name=name, value=value, effective=date(2026, 1, 1)
    )


def due(world, at):
    return due_of(BottlingRun.objects.get(), world.when(at))


def test_without_a_rule_it_tells_the_last_check(gin):
    # 27 CFR 19.356(a): representative intervals, no number.
    now = due(gin, "2026-03-02 11:35")
    assert now.words == "last check 35 min ago; the plant has set no interval."
    assert not now.is_due


def test_by_time_the_next_check_comes_due(gin):
    rule(gin, "check_minutes", "60")
    assert "the next is due in 25 min" in due(gin, "2026-03-02 11:35").words
    late = due(gin, "2026-03-02 12:10")
    assert (late.is_due, "was due 10 min ago" in late.words) == (True, True)


def test_by_count_the_next_check_comes_due(gin):
    rule(gin, "check_bottles", "200")
    assert not due(gin, "2026-03-02 14:00").is_due
    assert due(gin, "2026-03-02 15:30").is_due  # 245 bottles at 15:00


def test_after_a_fault_another_check_is_due_at_once(gin):
    gin.record(
        "bottle-check", "2026-03-02 12:00", vessel="BT-1", fills=[{"volume": "730 mL"}],
        corrective_action="cleaned the spout",
    )  # fmt: skip
    now = due(gin, "2026-03-02 12:05")
    assert (now.is_due, "out of tolerance: check again" in now.words) == (True, True)


def test_the_alcohol_of_the_checks_is_told_against_the_label(gin, client_of):
    # 27 CFR 19.356(c)
    assert "mean 45.10 %; the label says 45 %" in told(client_of(gin.reader), PAGE)


def test_another_plants_bottling_does_not_exist(gin, client_of):
    premises = make_plant("DSP-XX-00009", "Other Spit (invented)")
    person = make_person(premises, "eve", "owner")
    assert client_of(person).get(PAGE).status_code == 404
    assert "BR-3" not in told(client_of(person), "/bottlings/")


def test_before_the_first_check_one_is_due(gin):
    now = due(gin, "2026-03-02 10:30")
    assert (now.is_due, now.words.startswith("no bottle checked yet")) == (True, True)


def test_overnight_the_law_of_the_next_morning_is_told(gin):
    # 27 CFR 19.357
    assert "19.357" in due(gin, "2026-03-03 08:00").words
    assert "19.357" not in due(gin, "2026-03-02 20:00").words


def test_the_floor_tells_it_and_the_check_form_the_weights(gin, client_of):
    client = client_of(gin.operator)
    assert "Open bottlings" in told(client, "/")
    # 750 mL of 90 proof: 706.1 g in air
    assert "target 706.1 g net" in told(client, "/record/bottle-check/?vessel=BT-1")
    gin.record("close-bottling", "2026-03-02 18:00", vessel="BT-1", confirm=["large-loss"])
    assert "Open bottlings" not in told(client, "/")
