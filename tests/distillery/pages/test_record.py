"""Recording by the page: form, preview, confirmation, and every way back without loss."""

import re
from html import unescape

import pytest
from django.utils import timezone

from distillery.operations import operations
from ledger.closing import close
from ledger.models import Entry, Holding, Premises
from ledger.posting import month_of
from tests.distillery.pages.conftest import receive

pytestmark = pytest.mark.django_db

ADDRESS = "/record/receive-material/"
FORM = {
    "key": "k-100", "at": "2026-01-06T10:00", "material": "CORN", "quantity": "500 lb",
    "vessel": "BIN-1", "supplier": "A farm",
}  # fmt: skip


def posted(client, step, address=ADDRESS, **changes):
    """The page that a step answers with; following a redirect gives the entry."""
    return client.post(address, {**FORM, "step": step, **changes}, follow=True)


def text_of(response) -> str:
    return unescape(re.sub(r"\s+", " ", response.content.decode()))


def digest_of(response) -> str:
    return response.context["digest"]


@pytest.fixture
def client(world, client_of):
    return client_of(world.operator)


def test_the_form_comes_with_a_key_the_vessel_and_the_plants_time(world, client):
    hours = {f"{timezone.now().astimezone(world.premises.zone):%Y-%m-%dT%H}"}
    told = text_of(client.get(f"{ADDRESS}?vessel=BIN-2"))
    hours.add(f"{timezone.now().astimezone(world.premises.zone):%Y-%m-%dT%H}")
    assert any(f'value="{hour}' in told for hour in hours)  # two where a full hour came between
    assert re.search(r'name="key" value="[0-9a-f-]{36}"', told)
    assert '<option value="BIN-2" selected>' in told
    assert "BIN-1 · G-1 Corn, 2,000.00 lb" in told


def test_the_preview_writes_nothing_and_reads_as_a_sentence(client):
    response = posted(client, "preview")
    assert Entry.objects.count() == 1
    assert "500.00 lb</span> · supplier → BIN-1 (materials)" in text_of(response)
    assert '<input type="hidden" name="supplier" value="A farm">' in text_of(response)


def test_what_was_confirmed_is_in_the_book(client):
    response = posted(client, "confirm", digest=digest_of(posted(client, "preview")))
    assert response.redirect_chain == [("/book/2/done/", 302)]
    assert "Recorded as entry № 2." in text_of(response)
    assert Entry.objects.get(number=2).by == "bo"


def test_pressed_twice_it_is_one_entry(client):
    digest = digest_of(posted(client, "preview"))
    pages = [posted(client, "confirm", digest=digest) for _ in range(2)]
    assert [page.redirect_chain for page in pages] == [[("/book/2/done/", 302)]] * 2
    assert "This was recorded before: entry № 2." in text_of(pages[1])
    assert Entry.objects.count() == 2


def test_the_same_key_with_other_content_gets_a_new_one(client):
    posted(client, "confirm", digest=digest_of(posted(client, "preview")))
    other = posted(client, "preview", quantity="600 lb")
    response = posted(client, "confirm", quantity="600 lb", digest=digest_of(other))
    assert "This page was recorded before, with other content." in text_of(response)
    assert 'value="600 lb"' in text_of(response)
    assert 'name="key" value="k-100"' not in text_of(response)
    assert Entry.objects.count() == 2


def test_a_refusal_comes_back_with_everything_and_a_link_to_each_box(client):
    told = text_of(posted(client, "preview", quantity="5 gal", supplier="", note="from the left"))
    assert "<title>Error: Receive a material" in told
    assert '<a href="#id_supplier">Supplier: Fill this in.</a>' in told
    assert re.search(r'<a href="#id_quantity">[^<]*gal is for a volume', told)
    assert 'value="5 gal"' in told
    assert "from the left" in told
    assert re.search(r'id="id_supplier"[^>]*aria-describedby="id_supplier-wrong"', told)
    assert 'value="k-100"' in told


def test_change_goes_back_with_what_was_filled_in_and_no_reproach(client):
    told = text_of(posted(client, "change", quantity=""))
    assert 'value="A farm"' in told
    assert "There is a problem" not in told
    assert 'value="k-100"' in told


def test_an_unknown_choice_is_kept(client):
    told = text_of(posted(client, "preview", vessel="BIN-9"))
    assert '<option value="BIN-9" selected>' in told
    assert "There is no vessel “BIN-9” here." in told


def test_rows_are_added_without_losing_the_ones_filled_in(world, client):
    form = {
        "step": "more", "key": "k-7", "grains-1-lot": "G-1", "grains-1-quantity": "90 lb",
        "into": "FV-1",
    }  # fmt: skip
    told = text_of(client.post("/record/mash/", form))
    assert 'name="grains-0-quantity" value="90 lb"' in told
    assert 'name="grains-8-lot"' in told
    assert "There is a problem" not in told


def test_a_row_with_a_gauge_stands_alone_until_more_are_asked_for(world, client):
    first = text_of(client.get("/record/dump-to-tank/"))
    more = text_of(client.post("/record/dump-to-tank/", {"step": "more", "key": "k-7"}))
    assert "vessels-0-proof" in first
    assert "vessels-1-proof" not in first
    assert "vessels-2-proof" in more


def test_what_is_wrong_in_a_row_is_told_in_the_row(world, client):
    form = {
        "step": "preview", "key": "k-7", "at": "2026-01-06T10:00", "grains-0-lot": "G-1",
        "grains-0-quantity": "", "into": "FV-1", "wash": "200 gal",
    }  # fmt: skip
    told = text_of(client.post("/record/mash/", form))
    assert 'href="#id_grains-0-quantity"' in told
    assert re.search(r'id="id_grains-0-quantity"[^>]*aria-invalid="true"', told)


def mash(**changes):
    """A posted mash of 400 lb of the corn into FV-1, which holds 264 gal."""
    return {
        "key": "k-8", "at": "2026-01-06T10:00", "grains-0-lot": "G-1",
        "grains-0-quantity": "400 lb", "into": "FV-1", "wash": "300 gal", **changes,
    }  # fmt: skip


def test_a_question_is_asked_once_and_then_taken(world, client):
    first = client.post("/record/mash/", mash(step="preview"))
    codes = [question.code for question in first.context["plan"].questions]
    assert "over-capacity" in codes
    digest = digest_of(first)
    unanswered = client.post("/record/mash/", mash(step="confirm", digest=digest))
    assert "Answer what is asked below" in text_of(unanswered)
    assert Entry.objects.count() == 1
    done = client.post("/record/mash/", mash(step="confirm", digest=digest, confirm=codes))
    assert (done.status_code, done["Location"]) == (302, "/book/2/done/")


def test_the_book_moved_meanwhile_so_the_new_plan_is_shown(world, client):
    form = mash(wash="200 gal")
    form["grains-0-quantity"] = "1,900 lb"
    first = client.post("/record/mash/", {**form, "step": "preview"})
    codes = [question.code for question in first.context["plan"].questions]
    other = [{"lot": "G-1", "quantity": "500 lb"}]
    world.record("mash", "2026-01-06 09:00", grains=other, into="FV-2", wash="200 gal", confirm=[
        "yield-high", "yield-low", *codes,
    ])  # fmt: skip
    second = {**form, "step": "confirm", "digest": digest_of(first), "confirm": codes}
    response = client.post("/record/mash/", second)
    told = text_of(response)
    assert response.status_code == 200
    assert "Not recorded yet" in told
    assert Entry.objects.count() == 2
    asked = [question.code for question in response.context["plan"].questions]
    again = {**second, "digest": digest_of(response), "confirm": asked}
    assert client.post("/record/mash/", again).status_code == 302
    assert Holding.objects.get(account="materials").amount == 0


def test_a_reading_goes_to_the_round_with_its_figure(world, client):
    world.record(
        "mash", "2026-01-06 09:00", grains=[{"lot": "G-1", "quantity": "500 lb"}], into="FV-1",
        wash="200 gal",
    )  # fmt: skip
    form = {"key": "r-1", "at": "2026-01-07T08:00", "vessel": "FV-1", "gravity": "1.031"}
    address = "/record/ferment-reading/"
    assert client.post(address, {**form, "step": "preview"}).status_code == 200
    done = client.post(address, {**form, "step": "confirm"}, follow=True)
    assert done.redirect_chain == [("/readings/?kept=r-1", 302)]
    assert "Reading of FV-1 kept: SG 1.0310" in text_of(done)


@pytest.fixture
def closed(world):
    """January is closed."""
    moment = Entry.objects.get(number=1).happened_at
    close(world.premises, month_of(world.premises, moment), by="ada")
    return Premises.objects.get()


def test_a_closed_month_sends_an_operator_to_the_owner(closed, client):
    told = text_of(posted(client, "preview"))
    assert "January 2026 is closed. Ask the plant's owner to record this." in told


def test_a_closed_month_asks_the_owner_where_and_why(closed, world, client_of):
    owner = client_of(world.owner)
    told = text_of(posted(owner, "preview"))
    assert "January 2026 is closed. Choose where this is booked." in told
    assert 'name="late" value="amend"' in told
    assert "Say why this comes late." in text_of(posted(owner, "preview", late="amend"))
    known = {"late": "amend", "reason": "the slip was under the bin"}
    preview = posted(owner, "preview", **known)
    posted(owner, "confirm", digest=digest_of(preview), **known)
    entry = Entry.objects.get(number=2)
    assert (entry.amends.month.month, entry.reason) == (1, known["reason"])


def test_taking_back_asks_why_and_is_linked_both_ways(world, client_of):
    owner = client_of(world.owner)
    form = {"key": "b-1", "entry": "1", "at": "2026-01-06T10:00"}
    assert "Say why" in text_of(owner.post("/record/reverse/", {**form, "step": "preview"}))
    form["reason"] = "counted twice"
    digest = digest_of(owner.post("/record/reverse/", {**form, "step": "preview"}))
    owner.post("/record/reverse/", {**form, "step": "confirm", "digest": digest})
    assert "Taken back by № 2" in text_of(owner.get("/book/1/"))
    told = text_of(owner.get("/book/2/"))
    assert "Takes back № 1" in told
    assert "−2,000.00 lb" in told
    assert "/record/reverse/" not in told


def test_the_book_is_searched_by_day_act_account_and_lot(world, client):
    receive(world, at="2026-01-07 23:30", lot="EVENING")  # the 8th by UTC, the 7th at the plant
    found = {
        query: len(client.get(f"/book/?{query}").context["table"].rows)
        for query in (
            "", "day=2026-01-07", "day=2026-01-08", "operation=receive-material", "operation=mash",
            "account=supplier", "account=storage", "lot=EVENING", "lot=NO", "day=nonsense",
        )
    }  # fmt: skip
    assert list(found.values()) == [2, 1, 0, 2, 0, 2, 0, 1, 0, 2]


def test_a_gauge_in_a_row_is_told_beside_its_own_boxes(world, client):
    form = {
        "step": "preview", "key": "k-9", "at": "2026-01-09T10:00", "vessels-0-vessel": "B-1",
        "vessels-0-gross": "100 lb", "vessels-0-proof": "120",
    }  # fmt: skip
    told = text_of(client.post("/record/dump/", form))
    assert 'href="#id_vessels-0-tare"' in told
    assert "Row 1: Tare" not in told
    assert 'name="vessels-0-gross" value="100 lb"' in told


def test_rows_that_are_needed_and_left_empty_are_asked_for(world, client):
    told = text_of(client.post("/record/mash/", {"step": "preview", "key": "k", "into": "FV-1"}))
    assert "Grain: Fill in at least one row." in told
    assert not re.search(r'id="id_grains-0-lot"[^>]*aria-invalid', told)
    assert not re.search(r'id="id_tuns-0-tun"[^>]*aria-invalid', told)


@pytest.mark.parametrize("slug", sorted(operations()))
def test_every_form_can_be_drawn_empty_and_refused(world, client_of, slug):
    owner = client_of(world.owner)
    assert owner.get(f"/record/{slug}/?vessel=BIN-1").status_code == 200
    refused = owner.post(f"/record/{slug}/", {"step": "preview", "key": "k"})
    assert refused.status_code == 200
    assert "There is a problem" in text_of(refused)


def test_a_caution_has_three_lines_at_most_and_says_who_decides(world, client):
    told = text_of(client.get("/record/mash/"))
    lines = client.get("/record/mash/").context["cautions"]
    assert len(lines) == 3
    assert all(line in told for line in lines)
    assert "A reminder, not advice" in told
