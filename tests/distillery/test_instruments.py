"""Readings corrected by the instrument's own certificate, and tests that fall due."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.urls import reverse
from django.utils import timezone

from distillery.demo.instruments import INSTRUMENTS, stock_instruments
from distillery.forms import InstrumentField
from distillery.instruments import as_read, due, due_words, next_test
from distillery.models import Instrument, InstrumentCorrection
from tests.world import make_plant, make_world

pytestmark = pytest.mark.django_db
DAY = date(2026, 8, 31)


@pytest.fixture
def world():
    return make_world()


def hang_up(premises, code="H-R", kind="hydrometer", corrections=(), **more):
    """One instrument, tested on the day unless told otherwise."""
    facts = {"low": Decimal(185), "high": Decimal(206), "last_tested": DAY, **more}
    made = Instrument.objects.create(premises=premises, code=code, kind=kind, **facts)
    for at, add in corrections:
        InstrumentCorrection.objects.create(instrument=made, at=Decimal(at), add=Decimal(add))
    return made


def named(premises, code, *kinds):
    """The instrument as a form's field gives it."""
    field = InstrumentField(*kinds)
    field.premises = premises
    return field.clean(code)


def test_the_regulations_own_reading(world):
    """27 CFR 30.23: 192.85 with -0.03 is 192.82; 72.10 °F with +0.05 is 72.15."""
    spindle = hang_up(world.premises, corrections=[("192.85", "-0.03")])
    glass = hang_up(
        world.premises, "T-1", "thermometer", low=Decimal(40), high=Decimal(100),
        corrections=[("72.10", "0.05")],
    )  # fmt: skip
    proof = as_read(spindle, Decimal("192.85"), day=DAY)
    degrees = as_read(glass, Decimal("72.10"), day=DAY)
    assert (proof.value, degrees.value) == (Decimal("192.82"), Decimal("72.15"))
    assert (proof.faults, degrees.faults) == ((), ())
    assert proof.steps == (
        "H-R read 192.85 proof; its correction there is -0.03: 192.82 proof (27 CFR 30.23).",
    )


@pytest.mark.parametrize(
    ("reading", "add"),
    [("185", "-0.06"), ("190", "-0.04"), ("192.5", "-0.03"), ("195", "-0.02"), ("200", "0.01")],
)
def test_a_correction_between_two_rows_is_interpolated(world, reading, add):
    """By proportion, as 27 CFR 30.23 does; -0.03 half-way between -0.04 and -0.02."""
    rows = [("195", "-0.02"), ("185", "-0.06"), ("190", "-0.04"), ("205", "0.04")]
    found = as_read(hang_up(world.premises, corrections=rows), Decimal(reading), day=DAY)
    assert found.value - Decimal(reading) == Decimal(add)
    if reading == "192.5":
        assert "between -0.04 at 190 and -0.02 at 195" in found.steps[0]


@pytest.mark.parametrize(("reading", "add"), [("186", "-0.04"), ("206", "0.02")])
def test_beyond_the_rows_the_nearest_holds(world, reading, add):
    """Common practice, no source: a certificate says nothing beyond the points it was tested at."""
    spindle = hang_up(world.premises, corrections=[("190", "-0.04"), ("200", "0.02")])
    found = as_read(spindle, Decimal(reading), day=DAY)
    assert found.value - Decimal(reading) == Decimal(add)
    assert "the nearest given" in found.steps[0]


def test_without_corrections_the_reading_stands(world):
    found = as_read(hang_up(world.premises), Decimal("190.5"), day=DAY)
    assert found.value == Decimal("190.5")
    assert found.steps == ("H-R read 190.5 proof; it has no correction to add.",)


@pytest.mark.parametrize(
    ("reading", "is_off"), [("104.9", True), ("105", False), ("125", False), ("125.1", True)]
)
def test_a_reading_off_the_spindle_is_a_fault(world, reading, is_off):
    """Spindle M reads 105 to 125: 27 CFR 30.22."""
    spindle = hang_up(world.premises, "H-M", low=Decimal(105), high=Decimal(125))
    faults = as_read(spindle, Decimal(reading), day=DAY).faults
    assert (
        any("is off spindle H-M, which reads 105 to 125 proof" in one for one in faults) is is_off
    )


@pytest.mark.parametrize("kind", ["scale", "meter"])
def test_scales_and_meters_are_tested_every_six_months(world, kind):
    """27 CFR 19.186 and 19.188; six months from 31 August end with February."""
    made = hang_up(world.premises, kind=kind, low=Decimal(0), high=Decimal(1000))
    assert next_test(made) == date(2027, 2, 28)
    assert as_read(made, Decimal(10), day=date(2027, 2, 28)).faults == ()
    section = "27 CFR 19.186" if kind == "scale" else "27 CFR 19.188"
    assert as_read(made, Decimal(10), day=date(2027, 3, 1)).faults == (
        f"The test of H-R was due by 28 Feb 2027. Test it (every 6 months, {section}).",
    )


@pytest.mark.parametrize("kind", ["hydrometer", "thermometer", "density_meter"])
def test_the_others_are_tested_every_year_or_as_the_plant_says(world, kind):
    """A year is common practice, no source; the law says only "frequently" (27 CFR 19.188)."""
    made = hang_up(world.premises, kind=kind, low=Decimal(0), high=Decimal(1000))
    assert next_test(made) == date(2027, 8, 31)
    assert "common practice" in as_read(made, Decimal(10), day=date(2027, 9, 1)).faults[0]
    made.test_months = 3
    assert next_test(made) == date(2026, 11, 30)


def test_one_out_of_use_or_never_tested_is_a_fault(world):
    made = hang_up(world.premises, is_retired=True, last_tested=None)
    assert as_read(made, Decimal(190), day=DAY).faults == (
        "H-R is out of use. Use another.",
        "No test of H-R is on record. Test it (every 12 months, common practice).",
    )


def test_what_is_due_within_thirty_days(world, django_assert_num_queries):
    scale = {"kind": "scale", "low": Decimal(0), "high": Decimal(500)}
    for code, tested in [
        ("IN-31", date(2026, 4, 1)), ("IN-30", date(2026, 3, 30)), ("TODAY", date(2026, 2, 28)),
        ("MISSED", date(2026, 2, 27)), ("NEVER", None),
    ]:  # fmt: skip
        hang_up(world.premises, code, last_tested=tested, **scale)
    hang_up(world.premises, "GONE", last_tested=None, is_retired=True, **scale)
    with django_assert_num_queries(1):
        found = due(world.premises, date(2026, 8, 31))
    assert [(str(one.instrument), one.on, one.is_overdue) for one in found] == [
        ("NEVER", None, True),
        ("MISSED", date(2026, 8, 27), True),
        ("TODAY", date(2026, 8, 28), True),
        ("IN-30", date(2026, 9, 30), False),
    ]
    assert due_words(found[1]) == "MISSED: test was due by 27 Aug 2026."
    assert [one.is_overdue for one in due(world.premises, date(2026, 8, 28))][1:3] == [True, False]


def test_the_floor_tells_what_is_due(world, client):
    client.force_login(world.reader)
    assert "Instruments to test" not in client.get("/").content.decode()
    other = make_plant("DSP-XX-00009", "Other Spit (invented)")
    hang_up(other, "SECRET-H", last_tested=None)
    hang_up(world.premises, "SC-1", "scale", low=Decimal(0), last_tested=date(2020, 1, 31))
    page = client.get("/").content.decode()
    assert "<li>SC-1: test was due by 31 Jul 2020.</li>" in page
    assert "SECRET-H" not in page


def test_another_plants_instruments_do_not_exist(world):
    hang_up(make_plant("DSP-XX-00009", "Other Spit (invented)"), "SECRET-H")
    with pytest.raises(ValidationError, match="no instrument “SECRET-H” on the plant's list"):
        named(world.premises, "SECRET-H")
    assert due(world.premises, date(2040, 1, 1)) == []


def test_a_field_takes_only_its_kinds_and_brings_the_corrections(world, django_assert_num_queries):
    hang_up(world.premises, corrections=[("190", "0.1")])
    with pytest.raises(ValidationError, match="H-R is a hydrometer, not a density meter or scale"):
        named(world.premises, "H-R", "density_meter", "scale")
    found = named(world.premises, "H-R", "hydrometer")
    with django_assert_num_queries(0):
        assert as_read(found, Decimal(190), day=DAY).value == Decimal("190.1")


@pytest.mark.parametrize(
    ("field", "change"),
    [
        ("high", {"low": Decimal(10), "high": Decimal(10)}),
        ("graduation", {"graduation": Decimal(0)}),
        ("test_months", {"test_months": 0}),
        ("test_months", {"kind": "scale", "test_months": 7}),
    ],
)
def test_a_sheet_that_cannot_be_is_refused(world, field, change):
    facts = {"kind": "hydrometer", "low": Decimal(0), "high": Decimal(20), **change}
    with pytest.raises(ValidationError) as refused:
        Instrument(premises=world.premises, code="X-1", **facts).full_clean()
    assert field in refused.value.message_dict


def test_the_database_keeps_the_range_upright(world):
    with pytest.raises(IntegrityError):
        hang_up(world.premises, low=Decimal(20), high=Decimal(0))


def test_the_demos_instruments_are_fit_on_its_day(world):
    """The spindles' ranges and subdivisions are those of 27 CFR 30.22."""
    today = timezone.localdate()
    stock_instruments(world.premises, today)
    for one in Instrument.objects.all():
        one.full_clean()
    faults = [as_read(one, one.low, day=today).faults for one in Instrument.objects.all()]
    assert faults == [()] * len(INSTRUMENTS)
    assert [str(one.instrument) for one in due(world.premises, today)] == ["SC-2"]


def sheet_of(premises, **change):
    """What the page that adds an instrument sends."""
    return {
        "premises": premises.pk, "code": "H-105", "kind": "hydrometer", "low": "105",
        "high": "125", "last_tested": "2026-08-01", "corrections-TOTAL_FORMS": "1",
        "corrections-INITIAL_FORMS": "0", "corrections-0-at": "110",
        "corrections-0-add": "-0.03", **change,
    }  # fmt: skip


def test_an_owner_adds_and_changes_an_instrument(world, client):
    world.owner.is_staff = True
    world.owner.save()
    client.force_login(world.owner)
    add = reverse("admin:distillery_instrument_add")
    assert client.post(add, sheet_of(world.premises)).status_code == 302
    made = Instrument.objects.get(code="H-105")
    assert as_read(made, Decimal(110), day=DAY).value == Decimal("109.97")
    change = reverse("admin:distillery_instrument_change", args=[made.pk])
    row = {"corrections-INITIAL_FORMS": "1", "corrections-0-id": made.corrections.get().pk}
    data = sheet_of(world.premises, code="H-999", last_tested="2026-08-20", **row)
    assert client.post(change, data).status_code == 302
    made.refresh_from_db()
    assert (made.code, made.last_tested) == ("H-105", date(2026, 8, 20))


def test_nobody_else_changes_an_instrument(world, client):
    other = hang_up(make_plant("DSP-XX-00009", "Other Spit (invented)"), "SECRET-H")
    change = reverse("admin:distillery_instrument_change", args=[other.pk])
    world.owner.is_staff = world.operator.is_staff = True
    world.owner.save()
    world.operator.save()
    client.force_login(world.operator)
    assert client.post(change, sheet_of(other.premises)).status_code == 403
    client.force_login(world.owner)
    assert client.post(change, sheet_of(other.premises)).status_code == 302
    add = reverse("admin:distillery_instrument_add")
    assert client.post(add, sheet_of(other.premises)).status_code == 200
    other.refresh_from_db()
    assert (other.code, Instrument.objects.count()) == ("SECRET-H", 1)
    assert other.corrections.count() == 0
