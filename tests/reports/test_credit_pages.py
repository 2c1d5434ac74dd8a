"""The pages of the credit for wine and flavor content; figures of 27 CFR 19.246(c) and 19.615."""

from datetime import date

import pytest

from distillery.models import DatedSetting, Product
from reports.models import EffectiveRate, EligibleContent
from tests.reports.liqueurs import mixed, remove
from tests.world import make_world

pytestmark = pytest.mark.django_db
PAGE = "/filings/credits/"


@pytest.fixture
def world():
    world = make_world()
    Product.objects.create(
        premises=world.premises, code="LIQ-750", name="Point liqueur", family="other",
        label_proof=60, bottle_ml=750, per_case=12,
    )  # fmt: skip
    remove(mixed(world), "2026-03-20 10:00", "501", "K-1", 120)
    return world


@pytest.fixture
def owner(world, client):
    client.force_login(world.owner)
    return client


def told(response):
    return response.content.decode()


def mark(owner):
    for lot in ("W-14", "W-19", "VAN-1"):
        data = {"lot": lot, "is_eligible": "yes", "why": "approval (invented)"}
        assert owner.post(f"{PAGE}mark/", data)["Location"] == PAGE


def test_the_page_says_that_the_credit_is_off_and_unconfirmed(owner):
    assert PAGE in told(owner.get("/filings/returns/"))
    page = told(owner.get(PAGE))
    assert "The credit is off" in page
    assert "Industry Circular 2022-3 was not read" in page
    assert page.count("not marked, counts as spirits") == 6  # three in the batch, three in K-1
    assert "13.50" in page


def test_a_batch_is_marked_and_its_rate_kept(owner):
    mark(owner)
    assert "10.27" in told(owner.get(PAGE))
    owner.post(f"{PAGE}mark/", {"lot": "W-14", "is_eligible": "no", "why": "withdrawn (invented)"})
    assert "10.27" not in told(owner.get(PAGE))
    mark(owner)
    owner.post(f"{PAGE}batch/", {"lot": "K-1"})
    row = EffectiveRate.objects.get()
    assert (row.method, row.lot, str(row.rate), row.kept_by) == ("batch", "K-1", "10.27", "ada")
    assert row.worked["tax"] == "34611.90"
    assert "K-1" in told(owner.get(PAGE))


def test_the_tax_pages_say_which_lots_got_a_credit(owner, world):
    mark(owner)
    owner.post(f"{PAGE}batch/", {"lot": "K-1"})
    for address in ("/filings/2026-03/tax/", "/filings/returns/2026-03-31/"):
        assert "Credit for wine and flavor content" not in told(owner.get(address))
    DatedSetting.objects.create(
        premises=world.premises, name="content_credit", value="batch", effective=date(2026, 1, 1)
    )
    for address in ("/filings/2026-03/tax/", "/filings/returns/2026-03-31/"):
        page = told(owner.get(address))
        assert "Credit for wine and flavor content" in page
        assert "was not read" in page


def test_a_standard_rate_is_kept_from_its_day(owner):
    # 0.975 x 13.50 = 13.1625 (27 CFR 19.615(b): at most 0.025 of flavor counts)
    data = {"product": "LIQ-750", "effective": "2026-03-01", "least_flavor": "0.031"}
    assert owner.post(f"{PAGE}standard/", data).status_code == 302
    row = EffectiveRate.objects.get()
    assert (str(row.rate), row.effective, row.until) == ("13.16", date(2026, 3, 1), None)
    response = owner.post(f"{PAGE}standard/", data | {"wine_gallons": "9", "wine_abv": "20"})
    assert response.status_code == 422
    assert "more than a proof gallon" in told(response)


def test_an_average_rate_is_kept_for_its_month(owner):
    mark(owner)
    data = {"product": "LIQ-750", "month": "2026-04-17"}
    assert owner.post(f"{PAGE}average/", data).status_code == 302
    row = EffectiveRate.objects.get()
    assert (str(row.rate), row.effective, row.until) == (
        "10.27", date(2026, 4, 1), date(2026, 4, 30),
    )  # fmt: skip
    response = owner.post(f"{PAGE}average/", data | {"month": "2026-03-01"})
    assert response.status_code == 422
    assert "was bottled before" in told(response)


def test_only_the_owner_keeps_rates(world, client):
    for person, status in ((world.operator, 403), (world.reader, 403)):
        client.force_login(person)
        assert client.get(PAGE).status_code == 200
        assert client.post(f"{PAGE}batch/", {"lot": "K-1"}).status_code == status
    assert not EffectiveRate.objects.exists()
    assert not EligibleContent.objects.exists()


def test_there_is_no_other_form(owner):
    assert owner.get(f"{PAGE}guess/").status_code == 404
