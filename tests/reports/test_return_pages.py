"""The pages of the tax return; 27 CFR 19.233-19.235, 19.465. The months are invented."""

from datetime import date

import pytest

from ledger.models import Premises
from reports.models import Adjustment, Filed, Prepayment

Q1 = "/filings/returns/2026-01-01/"


@pytest.fixture
def owner(world, book, client):
    client.force_login(world.owner)
    return client


def told(response):
    return response.content.decode()


def test_the_list_tells_what_is_to_pay_and_by_when(owner):
    page = told(owner.get("/filings/returns/"))
    assert "TR-2026-1" in page
    assert "179.55" in page
    assert "14 Apr 2026" in page


def test_a_return_stands_in_line_order(owner):
    page = told(owner.get(Q1))
    places = [page.index(caption) for caption in (
        "Distilled spirits", "Total tax liability", "Gross amount due", "Amount to be paid",
    )]  # fmt: skip
    assert places == sorted(places)


def test_filing_a_return_keeps_it(owner):
    data = {"filed_on": "2026-04-14", "filed_by": "Ada Quay", "how": "portal"}
    response = owner.post(f"{Q1}file/", data)
    assert response["Location"] == Q1
    kept = Filed.objects.get(form="return")
    assert (kept.begin, kept.end) == (date(2026, 1, 1), date(2026, 3, 31))
    assert "Paper as filed" in told(owner.get(Q1))


def test_a_bad_day_is_told_beside_its_box_and_nothing_is_lost(owner):
    data = {"filed_on": "2026-03-01", "filed_by": "Ada Quay", "how": "portal"}
    response = owner.post(f"{Q1}file/", data)
    assert response.status_code == 422
    assert "after its period has ended" in told(response)
    assert 'value="Ada Quay"' in told(response)
    assert not Filed.objects.exists()


def test_an_adjustment_is_entered_on_the_return_of_its_day(owner):
    data = {"schedule": "B", "found_on": "2026-02-02", "explanation": "Spirits returned",
            "claim": "77", "tax": "10"}  # fmt: skip
    assert owner.post("/filings/returns/adjust/", data).status_code == 302
    assert Adjustment.objects.get().recorded_by == "ada"
    assert "169.55" in told(owner.get(Q1))


def test_an_adjustment_without_an_amount_is_refused(owner):
    data = {"schedule": "A", "found_on": "2026-02-02", "explanation": "Nothing", "tax": "0"}
    response = owner.post("/filings/returns/adjust/", data)
    assert (response.status_code, Adjustment.objects.count()) == (422, 0)
    assert "Give an amount." in told(response)


def test_a_prepayment_takes_its_documents_off_the_return(owner):
    data = {"documents": ["501"], "paid_at": "2026-03-25T09:00"}
    assert owner.post("/filings/returns/prepay/", data).status_code == 302
    row = Prepayment.objects.get()
    assert (row.serial, str(row.tax)) == ("P-2026-1", "173.34")
    assert "6.21" in told(owner.get(Q1))  # 5.67 on line 9 and 0.54 short


def test_a_day_before_the_book_has_no_return(owner):
    assert owner.get("/filings/returns/2020-01-01/").status_code == 404


def test_another_plants_returns_are_not_shown(owner):
    Premises.objects.create(registry="DSP-XX-00009", name="Other (invented)")
    assert "Other" not in told(owner.get("/filings/returns/"))
