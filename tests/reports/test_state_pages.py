"""The pages of State excise, and the rates in the set-up; rates as in test_state_tax."""

from datetime import date

import pytest

from reports.models import Filed, StateRate
from tests.reports.state_removals import send, stocked

pytestmark = pytest.mark.django_db
MARCH = "/filings/states/2026-03/"
TOLD = {"filed_on": "2026-04-15", "filed_by": "Ada Quay", "how": "portal"}


@pytest.fixture
def world():
    world = stocked()
    send(world, "501", "CA", rows=[{"lot": "K-1", "cases": 2}])
    send(world, "502", "Oregon", rows=[{"lot": "K-1", "cases": 1}])
    send(world, "503", "", rows=[{"lot": "K-1", "cases": 1}])
    return world


@pytest.fixture
def owner(world, client):
    client.force_login(world.owner)
    return client


def told(response):
    return response.content.decode()


def test_the_filings_lead_to_the_worksheets(owner):
    assert "/filings/states/" in told(owner.get("/filings/"))
    page = told(owner.get("/filings/states/"))
    assert MARCH in page
    assert "/filings/states/2026-Q1/" in page
    assert "Alcoholic Beverage Code 201.03" in page
    assert "own State is not set" in page


def test_the_worksheet_tells_what_it_has_no_figure_for(owner):
    page = told(owner.get(MARCH))
    assert "15.69" in page
    assert page.count("no figure") >= 2
    assert "A removal names no State" in page


def test_a_worksheet_is_marked_as_filed_and_its_paper_kept(owner, world):
    assert "state-CA" not in told(owner.get(MARCH))
    assert "15.69" in told(owner.get(f"{MARCH}CA/file/"))
    assert owner.post(f"{MARCH}CA/file/", TOLD)["Location"] == MARCH
    kept = Filed.objects.get()
    assert owner.get(f"/filings/filed/{kept.pk}/paper.pdf").content == bytes(kept.pdf)
    assert owner.get(f"/filings/filed/{kept.pk}/").status_code == 302
    StateRate.objects.filter(state="CA").update(rate="9")
    page = told(owner.get(MARCH))
    assert "with $15.69 of tax" in page
    assert "has changed since" in page
    assert "Mark California as filed" in page
    # What is filed with a State is no report of the bureau's that is to be amended.
    assert owner.get("/filings/amend/").status_code == 200


def test_a_bad_day_is_told_beside_its_box(owner):
    response = owner.post(f"{MARCH}CA/file/", TOLD | {"filed_on": "2026-03-01"})
    assert response.status_code == 422
    assert "after its period has ended" in told(response)


@pytest.mark.parametrize("path", [
    "/filings/states/2026-13/", "/filings/states/2026-Q5/", "/filings/states/2999-01/",
    f"{MARCH}export/doc/", f"{MARCH}ZZ/file/",
])  # fmt: skip
def test_what_is_no_period_state_or_format_is_not_found(owner, path):
    assert owner.get(path).status_code == 404


def test_a_reader_takes_the_file_and_files_nothing(world, client):
    client.force_login(world.reader)
    assert b"15.69" in client.get(f"{MARCH}export/csv/").content
    assert client.get(f"{MARCH}CA/file/").status_code == 403
    assert "as filed" not in told(client.get(MARCH))


def test_an_owner_adds_the_plants_own_rate_and_only_sees_the_shared(owner, world):
    world.owner.is_staff = True
    world.owner.save()
    list_page = "/plant/admin/reports/staterate/"
    assert "201.03" in told(owner.get(list_page))
    shared = StateRate.objects.filter(state="TX").get()
    page = owner.get(f"{list_page}{shared.pk}/change/")
    assert page.status_code == 200
    assert 'name="_save"' not in told(page)
    data = {"state": "OR", "basis": "liter", "rate": "1.5", "effective": "2026-01-01",
            "every": "month", "source": "made up for this test"}  # fmt: skip
    response = owner.post(f"{list_page}add/", data)
    assert response.status_code == 200  # a plant's own row names its plant
    response = owner.post(f"{list_page}add/", data | {"premises": world.premises.pk})
    assert response.status_code == 302
    row = StateRate.objects.get(state="OR")
    assert (row.premises, row.effective) == (world.premises, date(2026, 1, 1))
    assert "13.50" in told(owner.get(MARCH))  # 9 L x 1.50
