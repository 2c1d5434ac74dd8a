"""The plant's set-up: owners, their own plant, and a book that is only looked at."""

from decimal import Decimal

import pytest
from django.contrib.admin import site
from django.contrib.auth import get_user_model
from django.urls import reverse

from distillery.models import Barrel, DatedSetting, Material, Membership, VesselSheet
from ledger.models import Premises, Vessel
from tests.distillery.stock import put
from tests.world import make_person, make_plant, make_world

pytestmark = pytest.mark.django_db
BARRELS = {
    "code_prefix": "BR-", "first": "008", "count": "5", "rated_gal": "15", "cooperage": "C",
    "tare_lb": "50.5", "room": "Rack house",
}  # fmt: skip


@pytest.fixture
def world():
    world = make_world()
    world.owner.is_staff = True
    world.owner.save()
    return world


@pytest.fixture
def owner(world, client):
    client.force_login(world.owner)
    return client


def url(model, page="changelist", *args):
    return reverse(f"admin:{model._meta.app_label}_{model._meta.model_name}_{page}", args=args)


def ours():
    return [model for model in site._registry if model._meta.app_label in ("ledger", "distillery")]


def test_every_list_opens_for_an_owner(world, owner):
    put(world, "storage", "S-1", "N-1", wine="10", proof="19")
    assert [m for m in ours() if owner.get(url(m)).status_code != 200] == []


def test_nothing_opens_for_staff_who_own_nothing(world, client):
    world.operator.is_staff = True
    world.operator.save()
    client.force_login(world.operator)
    assert {client.get(url(model)).status_code for model in ours()} == {403}
    assert client.get(reverse("admin:ledger_vessel_barrels")).status_code == 403


def test_a_worker_is_sent_to_log_in(world, client):
    client.force_login(world.operator)
    assert client.get(url(Vessel)).status_code == 302


def test_an_owner_does_not_see_another_plant(world, owner):
    other = make_plant("DSP-XX-00001", "Second point (invented)")
    tank = Vessel.objects.get(premises=other, code="S-1")
    assert owner.get(url(Vessel, "change", tank.pk)).status_code == 302
    assert b"Second point" not in owner.get(url(Material, "add")).content
    data = {**BARRELS, "premises": other.pk}
    assert owner.post(reverse("admin:ledger_vessel_barrels"), data).status_code == 200
    assert not Barrel.objects.exists()


def test_the_book_is_only_looked_at(world, owner):
    put(world, "storage", "S-1", "N-1", wine="10", proof="19")
    for name in ("entry", "movement", "lot", "holding", "period", "descent", "flowtotal"):
        assert owner.get(reverse(f"admin:ledger_{name}_add")).status_code == 403
    for name in ("entry", "movement", "lot", "holding", "period"):
        model = next(m for m in ours() if m._meta.model_name == name)
        pk = model.objects.get().pk
        page = owner.get(url(model, "change", pk))
        assert page.status_code == 200
        assert b'name="_save"' not in page.content
        assert owner.post(url(model, "change", pk), {"x": "1"}).status_code == 403
        assert owner.post(url(model, "delete", pk), {"post": "yes"}).status_code == 403


def test_a_superuser_changes_nothing_in_the_book_either(world, client):
    put(world, "storage", "S-1", "N-1", wine="10", proof="19")
    chief = get_user_model().objects.create_superuser("root", password="root-of-marram")
    client.force_login(chief)
    lot = reverse("admin:ledger_lot_changelist")
    assert client.get(lot).status_code == 200
    assert client.get(reverse("admin:ledger_lot_add")).status_code == 403


def test_barrels_are_added_in_bulk(world, owner):
    page = reverse("admin:ledger_vessel_barrels")
    assert owner.post(page, {**BARRELS, "premises": world.premises.pk}).status_code == 302
    codes = Vessel.objects.filter(kind="barrel").order_by("pk").values_list("code", flat=True)
    assert list(codes) == ["BR-008", "BR-009", "BR-010", "BR-011", "BR-012"]
    barrel = Barrel.objects.select_related("vessel__sheet").first()
    assert (barrel.rated_gal, barrel.cooperage, barrel.was_filled_before) == (15, "C", False)
    assert barrel.vessel.sheet.room == "Rack house"


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"code_prefix": "S-", "first": "1", "count": "1"}, "already a vessel “S-1”"),
        ({"code_prefix": "<b>"}, "Use letters, digits"),
        ({"first": "x"}, "Give digits, like 001"),
        ({"count": "501"}, "less than or equal to 500"),
    ],
)
def test_a_bulk_that_does_not_fit_adds_none(world, owner, change, sentence):
    page = reverse("admin:ledger_vessel_barrels")
    answer = owner.post(page, {**BARRELS, "premises": world.premises.pk, **change})
    assert sentence in answer.content.decode()
    assert not Barrel.objects.exists()


def test_a_vessels_code_and_kind_are_set_once(world, owner):
    tank = Vessel.objects.get(code="S-1")
    sheet = VesselSheet.objects.get(vessel=tank)
    data = {
        "code": "S-9", "kind": "tote", "sheet-TOTAL_FORMS": "1", "sheet-INITIAL_FORMS": "1",
        "sheet-0-id": sheet.pk, "sheet-0-vessel": tank.pk, "sheet-0-title": "Spirit tank",
        "sheet-0-order": "3", "strappings-TOTAL_FORMS": "1", "strappings-INITIAL_FORMS": "0",
        "strappings-0-vessel": tank.pk, "strappings-0-effective": "2026-01-01",
        "strappings-0-source": "measured inside", "strappings-0-shape": "upright",
        "strappings-0-diameter_in": "24", "strappings-0-height_in": "60",
    }  # fmt: skip
    assert owner.post(url(Vessel, "change", tank.pk), data).status_code == 302
    tank.refresh_from_db()
    # 24 inches across, 231 cubic inches a gallon (27 CFR 30.11): 1.958 gallons an inch.
    assert str(tank.strappings.get().volume_gal(Decimal(10))) == "19.58"
    assert (tank.code, tank.kind, tank.sheet.title) == ("S-1", "tank", "Spirit tank")


def test_a_new_vessel_comes_with_its_sheet(world, owner):
    data = {
        "premises": world.premises.pk, "code": "S-3", "kind": "tank", "sheet-TOTAL_FORMS": "1",
        "sheet-INITIAL_FORMS": "0", "sheet-0-capacity_gal": "300", "sheet-0-order": "0",
    }  # fmt: skip
    assert owner.post(url(Vessel, "add"), data).status_code == 302
    assert Vessel.objects.get(code="S-3").sheet.capacity_gal == 300


def test_a_registry_number_is_set_once_and_the_degrees_are_chosen(world, owner):
    plant = world.premises.plant
    data = {
        "registry": "DSP-XX-00007", "name": "Marram", "time_zone": "America/Chicago",
        "plant-TOTAL_FORMS": "1", "plant-INITIAL_FORMS": "1", "plant-0-id": plant.pk,
        "plant-0-premises": world.premises.pk, "plant-0-temperature_unit": "C",
        "plant-0-gravity_unit": "P",
    }  # fmt: skip
    assert owner.post(url(Premises, "change", world.premises.pk), data).status_code == 302
    plant.refresh_from_db()
    premises = Premises.objects.get()
    found = (premises.registry, premises.name, plant.temperature_unit, plant.gravity_unit)
    assert found == ("DSP-XX-00000", "Marram", "C", "P")


def person_form(world, role, **more):
    word = "seventeen dunes of marram"
    return {
        "username": "dee", "password1": word, "password2": word, "memberships-TOTAL_FORMS": "1",
        "memberships-INITIAL_FORMS": "0", "memberships-MIN_NUM_FORMS": "1",
        "memberships-0-premises": world.premises.pk, "memberships-0-role": role, **more,
    }  # fmt: skip


@pytest.mark.parametrize(("role", "is_staff"), [("operator", False), ("owner", True)])
def test_an_owner_adds_a_person_with_a_role(world, owner, role, is_staff):
    people = get_user_model()
    assert owner.post(url(people, "add"), person_form(world, role)).status_code == 302
    dee = people.objects.get(username="dee")
    assert (dee.memberships.get().role, dee.is_staff, dee.is_superuser) == (role, is_staff, False)


def test_an_owner_makes_nobody_a_superuser(world, owner):
    people = get_user_model()
    owner.post(url(people, "add"), person_form(world, "operator", is_superuser="on"))
    assert not people.objects.filter(is_superuser=True).exists()


def test_an_owner_cannot_reach_people_of_another_plant(world, owner):
    other = make_plant("DSP-XX-00001", "Second point (invented)")
    eve = make_person(other, "eve", "owner")
    shared = make_person(other, "fay", "reader")
    Membership.objects.create(user=shared, premises=world.premises, role="reader")
    page = reverse("admin:auth_user_password_change", args=[shared.pk])
    assert owner.get(page).status_code in (302, 404)
    assert owner.get(url(type(eve), "change", eve.pk)).status_code == 302
    assert b"eve" not in owner.get(url(type(eve))).content


def test_a_dated_setting_takes_only_what_its_rule_knows(world, owner):
    """The step of a gauge of record is a tenth (27 CFR 19.289(d)) or finer, nothing else."""
    data = {
        "premises": world.premises.pk, "name": "gauge_step", "value": "0.5",
        "effective": "2026-01-01",
    }  # fmt: skip
    told = owner.post(url(DatedSetting, "add"), data).content.decode()
    assert "One of: 0.1, 0.01." in told
    assert owner.post(url(DatedSetting, "add"), {**data, "value": "0.01"}).status_code == 302
