"""Which caution stands on which page, and what leads when the figures call for it.

What a line must speak of is common practice of the trade, no source, unless one is named.
"""

from datetime import timedelta

import pytest
from django.utils import timezone

from distillery.models import CautionWording
from distillery.operations import operations
from distillery.pages.cautions import MOST, OF_A_RECORD, OF_A_RUN, cautions_of
from distillery.safety import CAUTIONS, SEEN, TRIGGERED
from tests.distillery.operations.plant_floor import charge, mash
from tests.distillery.stock import put
from tests.world import ZONE, make_plant

pytestmark = pytest.mark.django_db

# Act: what is said of it before anything is filled in.
ALWAYS = {
    "receive-material": ["nobody lifts alone", "dust down"],  # 29 CFR 1910.272: dust
    "mill": ["guard", "dust"],
    "mash": ["hot mash", "climb"],
    "ferment-reading": ["fan", "meter", "manway"],
    "pitch": ["carbon dioxide", "hose clamps"],
    "clean-vessel": ["before caustic", "goggles, gloves", "wet floor", "confined space"],
    "charge": ["heaters covered", "coolant", "bond", "extinguisher", "alone"],
    "still-charge-processing": ["heaters covered", "coolant", "bond", "extinguisher", "alone"],
    "run-on": ["heaters covered", "coolant", "extinguisher"],
    "still-reading": ["stay with the still", "heaters covered", "pressure rises"],
    "stop-still": ["stay with the still"],
    "collect": ["bond", "disposal"],  # 29 CFR 1910.106(e)(6)(ii): bonding
    "transfer": ["bond", "ground"],
    "load-basket": ["basket", "hot"],
    "close-run": ["vent open before you drain"],
    "route-stillage": ["near boiling", "hose down", "power off"],
    "fill-barrels": ["51 lb", "two people", "bond"],  # NIOSH lifting equation: 51 lb
    "move-barrels": ["51 lb", "two people", "wet floor"],
    "dump": ["51 lb", "bond"],
    "package-loss": ["wet floor", "strong smell"],
    "filter": ["pressure off"],
    "reduce": ["water slowly", "eye protection"],
    "bottle": ["gloves and eye protection", "bond"],
    "break-bottles": ["for cuts first"],
    "move-cases": ["one case"],
    "sample": ["nobody runs a still"],
}


def test_an_act_shows_its_cautions_and_no_more_than_three(world, client_of):
    client, wanting = client_of(world.operator), []
    for slug, spoken_of in ALWAYS.items():
        page = client.get(f"/record/{slug}/")
        lines = page.context["cautions"]
        assert 1 <= len(lines) <= MOST, slug
        assert 'aria-label="Caution"' in page.content.decode()
        said = " ".join(lines).lower()
        wanting += [(slug, words) for words in spoken_of if words not in said]
    assert wanting == []


def test_what_leads_has_its_trigger_and_its_text():
    assert {*OF_A_RECORD, *OF_A_RUN} == set(TRIGGERED)


def preview(client, slug, form):
    page = client.post(
        f"/record/{slug}/",
        {"key": "k", "at": "2026-03-05T10:00", "step": "preview", **form},
    )
    assert "digest" in page.context, page.context.get("problems")
    assert len(page.context["cautions"]) <= MOST
    return page.context["cautions"]


MASH = {
    "grains-0-lot": "G-1", "grains-0-quantity": "100 lb", "grains-0-vessel": "BIN-1",
    "into": "FV-1", "wash": "60 gal", "water": "60 gal",
}  # fmt: skip


@pytest.mark.parametrize(
    ("read", "leads"),
    [
        ({"tuns-0-tun": "TUN-1", "tuns-0-volume": "50 gal", "tuns-0-temperature": "148 F"}, True),
        ({"strike": "165 F"}, True),
        ({"rest": "141 F"}, True),
        ({"rest": "140 F"}, False),
        ({}, False),
    ],
)
def test_a_tun_above_140_degrees_leads_with_the_scald(world, client_of, read, leads):
    # A deep burn in about 5 seconds at 140 F: U.S. CPSC on tap water, from memory
    lines = preview(client_of(world.operator), "mash", {**MASH, **read})
    assert (lines[0] == TRIGGERED["scald"].lines[0]) is leads


@pytest.mark.parametrize(("proof", "leads"), [("20", True), ("19.98", False)])
def test_half_alcohol_leads_with_its_vapor(world, client_of, proof, leads):
    # proof is twice the per cent by volume: 27 CFR 30.11
    put(world, "storage", "S-1", "N-1", wine="20", proof=proof)
    form = {"vessel": "S-1", "to": "S-2", "volume": "10 gal"}
    lines = preview(client_of(world.operator), "transfer", form)
    assert (lines[0] == TRIGGERED["strong"].lines[0]) is leads
    assert "Bond and ground" in " ".join(lines)


@pytest.mark.parametrize(
    ("step", "leads"), [("Caustic, 2 %", True), ("potassium hydroxide", True), ("rinse", False)]
)
def test_caustic_leads_with_the_tank_that_is_crushed(world, client_of, step, leads):
    form = {"vessel": "FV-1", "steps-0-what": step, "is_ready": "on"}
    lines = preview(client_of(world.operator), "clean-vessel", form)
    assert (lines[0] == TRIGGERED["caustic"].lines[0]) is leads


def ago(minutes):
    return f"{(timezone.now() - timedelta(minutes=minutes)).astimezone(ZONE):%Y-%m-%d %H:%M}"


@pytest.fixture
def run(world):
    """A gin run charged 50 minutes ago."""
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    charge(world, "NS", family="gin", type_code="", water="30 gal", lot="RUN-1", at=ago(50))
    return world


def led(client):
    return client.get("/runs/RUN-1/").context["cautions"][0]


def test_half_an_hour_without_a_reading_leads_on_the_run(run, client_of):
    client = client_of(run.operator)
    assert led(client) == TRIGGERED["log_gap"].lines[0]
    run.record("still-reading", ago(10), still="POT", temperature="172 F", by=run.operator)
    assert led(client) == CAUTIONS["running"].lines[0]


def test_a_still_that_stands_stopped_is_not_waited_for(run, client_of):
    run.record("stop-still", ago(45), still="POT", by=run.operator)
    assert led(client_of(run.operator)) != TRIGGERED["log_gap"].lines[0]


@pytest.mark.parametrize(
    ("note", "leads"),
    [("Pressure up for a moment", True), ("coolant was off", True), ("clear", False)],
)
def test_pressure_or_coolant_noted_leads_on_the_run(run, client_of, note, leads):
    run.record("still-reading", ago(5), still="POT", note=note, by=run.operator)
    assert (led(client_of(run.operator)) == TRIGGERED["pressure_noted"].lines[0]) is leads


def test_the_round_of_readings_shows_the_carbon_dioxide(world, client_of):
    client = client_of(world.operator)
    assert client.get("/readings/").context["cautions"] == []  # nothing ferments
    mash(world, gravity="1.060")
    assert "wear the meter" in client.get("/readings/").content.decode()


@pytest.mark.parametrize(("into", "asks"), [("S-1", True), ("RCV-1", False)])
def test_foreshots_into_a_tank_ask_for_a_second_person(world, client_of, into, asks):
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    charge(world, "NS", family="gin", type_code="", water="30 gal", at="2026-03-05 08:00")
    form = {
        "key": "k", "at": "2026-03-05T10:00", "still": "POT", "fraction": "foreshots", "into": into,
        "gauge-volume": "0.5 gal", "gauge-proof": "150", "gauge-temperature": "60 F",
        "step": "preview",
    }  # fmt: skip
    page = client_of(world.operator).post("/record/collect/", form)
    codes = [one.code for one in page.context["plan"].questions]
    assert ("foreshots-in-tank" in codes) is asks
    assert ("have a second person look" in page.content.decode()) is asks


def test_the_owner_says_it_in_words_of_the_plant(world, client_of):
    world.owner.is_staff = True
    world.owner.save()
    address = "/plant/admin/distillery/cautionwording/add/"
    form = {"premises": world.premises.pk, "code": "glass", "lines": "Gloves from the red box.\n\n"}
    for wrong in ("a\nb\nc\nd", "x" * 91):
        told = client_of(world.owner).post(address, {**form, "lines": wrong}).content.decode()
        assert "people stop reading" in told or "90 characters" in told
    two = {"code": "seen-entry", "lines": "a\nb"}
    assert "one line" in client_of(world.owner).post(address, {**form, **two}).content.decode()
    assert client_of(world.operator).get(address).status_code == 302
    client_of(world.owner).post(address, form)
    row = CautionWording.objects.get()
    assert (row.entered_by, row.told()) == ("ada", ("Gloves from the red box.",))
    lines = client_of(world.operator).get("/record/reclose/").context["cautions"]
    assert lines == ["Gloves from the red box."]
    # It is followed by other words, never changed; without lines the book's own are back.
    page = client_of(world.owner).post(address.replace("add", f"{row.pk}/change"), form)
    assert page.status_code == 403
    client_of(world.owner).post(address, {**form, "lines": ""})
    lines = client_of(world.operator).get("/record/reclose/").context["cautions"]
    assert lines == list(CAUTIONS["glass"].lines)
    assert CautionWording.objects.count() == 2


def test_another_plants_words_are_not_shown(world):
    other = make_plant("DSP-XX-00009", "Other Spit (invented)")
    CautionWording.objects.create(premises=other, code="glass", lines="Elsewhere.", entered_by="e")
    told = cautions_of(operations()["reclose"], world.premises)
    assert told == list(CAUTIONS["glass"].lines)
    assert set(SEEN) == {"seen-entry", "seen-open-still"}
