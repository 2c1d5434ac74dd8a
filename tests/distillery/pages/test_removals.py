"""Whose spirits stand where, and what the pages of removals offer."""

import pytest

from tests.distillery.stock import held, put

pytestmark = pytest.mark.django_db
HERON = "Heron Distilling (invented)"


@pytest.mark.parametrize("path", ["/", "/vessels/S-1/", "/lots/N-1/"])
def test_whose_spirits_they_are_is_told(world, client_of, path):
    put(world, "storage", "S-1", "N-1", wine="100", proof="190", owner=HERON)
    assert HERON in client_of(world.reader).get(path).content.decode()


def test_our_own_name_no_owner(world, client_of):
    put(world, "storage", "S-1", "N-1", wine="100", proof="190")
    assert "held for" not in client_of(world.reader).get("/vessels/S-1/").content.decode()


@pytest.mark.parametrize(
    ("vessel", "box"),
    [("STORE", "id_rows-0-store"), ("B-1", "id_packages-0-vessel"), ("S-1", "id_vessel")],
)
def test_a_removal_begun_at_a_vessel_has_it_in_its_box(world, client_of, vessel, box):
    path = f"/record/remove/?vessel={vessel}"
    page = client_of(world.owner).get(path).content.decode()
    inside = page.split(f'id="{box}"')[1].split("</select>")[0]
    assert f'value="{vessel}" selected' in inside


def test_goods_not_gone_are_offered_and_a_cancelled_number_is_typed(world, client_of):
    # 27 CFR 19.464
    put(
        world, "finished", "STORE", "K-1", wine="2.38", proof="2.14", amount=12, stage="bottled",
        unit="bottle", form="bottled", class_code="gin", bottle_ml=750, per_case=12,
        label_proof=900,
    )  # fmt: skip
    world.record(
        "remove", "2026-03-25 14:00", document="INV 501", consignee="Harbor (invented)",
        initials="ab", rows=[{"lot": "K-1", "bottles": 1}], not_gone=True,
    )  # fmt: skip
    client = client_of(world.owner)
    page = client.get("/vessels/STORE/").content.decode()
    assert "Tax determined, not gone" in page
    assert "/record/goods-gone/?document=INV%20501" in page
    page = client.get("/record/goods-gone/").content.decode()
    assert '<option value="INV 501"' in page
    page = client.get("/record/cancel-invoice/").content.decode()
    assert '<input id="id_document"' in page


def test_an_invoice_is_cancelled_from_the_page(world, client_of):
    # 27 CFR 19.611: the goods are in bond again, the number stands as void in the book
    put(world, "storage", "S-1", "N-1", wine="100", proof="190")
    world.record(
        "remove", "2026-03-25 14:00", document="501", consignee="Harbor (invented)",
        initials="ab", vessel="S-1", gauge={"net": "100 lb", "proof": "190"}, not_gone=True,
    )  # fmt: skip
    client, path = client_of(world.owner), "/record/cancel-invoice/"
    data = {
        "document": "501", "at": "2026-03-26T09:00", "reason": "called off", "key": "c-1",
    }  # fmt: skip
    page = client.post(path, {**data, "step": "preview"})
    assert "Document 501 is void" in page.content.decode()
    data["digest"] = page.context["digest"]
    page = client.post(path, {**data, "step": "confirm"}, follow=True)
    assert "Recorded as entry" in page.content.decode()
    assert held("S-1") == [("storage", "N-1", 10000, 19000)]


def test_a_removal_is_cancelled_from_its_own_page(world, client_of):
    put(world, "storage", "S-1", "N-1", wine="100", proof="190")
    fields = {
        "consignee": "Harbor (invented)", "initials": "ab", "vessel": "S-1",
        "gauge": {"net": "100 lb", "proof": "190"}, "not_gone": True,
    }  # fmt: skip
    done = world.record("remove", "2026-03-25 14:00", document="501 a", **fields)
    path = f"/book/{done.entry.number}/"
    page = client_of(world.owner).get(path).content.decode()
    assert '/record/cancel-invoice/?document=501+a">Cancel an invoice</a>' in page
    assert "/record/goods-gone/?document=501+a" in page
    form = client_of(world.owner).get("/record/cancel-invoice/?document=501+a").content.decode()
    assert 'value="501 a"' in form
    assert "cancel-invoice" not in client_of(world.reader).get(path).content.decode()
    world.record("goods-gone", "2026-03-26 09:00", document="501 a")
    # What left is not cancelled: it comes back by a return to bond (27 CFR 19.611, 19.452).
    assert "cancel-invoice" not in client_of(world.owner).get(path).content.decode()
