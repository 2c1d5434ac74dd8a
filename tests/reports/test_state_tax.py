"""State excise by destination, at the rates that could be read in an official text.

Sources: California Revenue and Taxation Code 32201 and 32220; Texas Alcoholic Beverage Code
201.03, 16 TAC 41.30; Colorado Department of Revenue, Liquor Excise Taxes; gallons of bottles by
27 CFR 19.582 (liters x 0.264172). The removals are invented.
"""

from datetime import UTC, date, datetime
from decimal import Decimal
from json import loads

import pytest
from django.core.exceptions import ValidationError
from django.core.management import call_command

from ledger.errors import BadFact
from reports.faces import pdf
from reports.faces.state_sheet import sheet_of_states
from reports.models import Filed, StateRate
from reports.state_due import states_due
from reports.state_filing import file_state, filed_states, render_states
from reports.state_names import NAMES, state_of
from reports.state_periods import period_of, read_period
from reports.state_tax import has_least, owed, rate_for, state_worksheet
from reports.told import Told
from tests.reports import filing_cases
from tests.reports.state_removals import send, stocked

pytestmark = pytest.mark.django_db
MARCH = read_period("2026-03")
Q1 = read_period("2026-Q1")
DAY = date(2026, 3, 25)
APRIL = datetime(2026, 4, 20, 16, tzinfo=UTC)
TOLD = Told(filed_on=date(2026, 4, 15), filed_by="Ada Quay", how="portal", confirmation="S-1")


@pytest.fixture
def world():
    return stocked()


def sheet(world, period=MARCH):
    world.premises.refresh_from_db()
    return state_worksheet(world.premises, period)


def told(world, period=MARCH):
    return {
        row.state: [
            (str(round(line.wine_gallons, 4)), str(line.liters.normalize()), str(line.tax))
            for line in row.lines
        ]
        for row in sheet(world, period).states
    }


@pytest.mark.parametrize("row", filing_cases.rows("state_rate"))
def test_each_kept_rate_is_the_one_that_was_read(row):
    asked, expected = row["input"], row["expect"]
    rates = list(StateRate.objects.all())
    rate = rate_for(
        rates, asked["state"], DAY, family="gin", proof=Decimal(asked.get("proof", "80"))
    )
    gallons = Decimal(asked.get("wine_gallons") or asked.get("gallons") or 0)
    found = owed(rate, liters=Decimal(asked.get("liters", 0)), packages=1, wine_gallons=gallons)
    assert found == Decimal(expected["tax"]), row["source"]
    if "min_per_package_2oz_or_less" in expected:
        assert rate.minimum == Decimal(expected["min_per_package_2oz_or_less"]), row["source"]
        # 2 US fluid ounces are 59.147 mL (NIST Handbook 44, appendix C; from memory)
        assert has_least(rate, 50)
        assert has_least(rate, 59)
        assert not has_least(rate, 60)
    assert "Check with the State" in rate.source


def test_every_kept_rate_is_one_of_the_cases():
    states = {row["input"]["state"] for row in filing_cases.ROWS if row["topic"] == "state_rate"}
    assert set(StateRate.objects.values_list("state", flat=True)) == states


def test_california_divides_at_proof_strength(world):
    # 24 and 12 bottles of 750 mL are 18 and 9 L: 4.755096 and 2.377548 gal; x 3.30 and x 6.60
    rows = [{"lot": "K-1", "cases": 2}, {"lot": "K-2", "cases": 1}]
    send(world, "501", "California", rows=rows)
    assert told(world) == {"CA": [("4.7551", "18", "15.69"), ("2.3775", "9", "15.69")]}


def test_texas_takes_at_least_five_cents_a_miniature(world):
    # 120 x 50 mL at 0.05 is 6.00, and not 1.585032 gal x 2.40 = 3.80; 18 L are 4.755096 x 2.40
    send(world, "501", "TX", rows=[{"lot": "K-3", "cases": 10}, {"lot": "K-1", "cases": 2}])
    assert told(world) == {"TX": [("1.5850", "6", "6.00"), ("4.7551", "18", "11.41")]}
    assert sheet(world).of("TX").tax == Decimal("17.41")


def test_colorado_takes_liters(world):
    # 90 L x 0.6026
    send(world, "501", "co", rows=[{"lot": "K-1", "cases": 10}])
    assert told(world) == {"CO": [("23.7755", "9E+1", "54.23")]}


def test_bulk_goes_by_its_gauge(world):
    # 27 CFR 30.64: 700 lb at 85.5 proof are 88.73 gal; x 3.30
    gauge = {"net": "700 lb", "proof": "85.5"}
    send(world, "501", "CA", vessel="P-1", gauge=gauge)
    (line,) = sheet(world).of("CA").lines
    assert (line.wine_gallons, line.tax) == (Decimal("88.73"), Decimal("292.81"))


def test_a_state_without_a_rate_stands_with_its_gallons_and_no_figure(world):
    send(world, "501", "Oregon", rows=[{"lot": "K-1", "cases": 2}])
    send(world, "502", "Kalifornia", rows=[{"lot": "K-1", "cases": 2}])
    send(world, "503", "", rows=[{"lot": "K-1", "cases": 2}])
    nothing = [("4.7551", "18", "None")]
    assert told(world) == {"OR": nothing, "Kalifornia": nothing, "": nothing}
    assert not sheet(world).of("Kalifornia").is_state


def test_the_tasting_room_is_the_plants_own_state(world):
    world.premises.plant.state = "CO"
    world.premises.plant.save()
    send(world, "501", "", to="taxpaid", consignee="", shop="SHOP", rows=[{"lot": "K-1",
         "cases": 1}])  # fmt: skip
    assert told(world) == {"CO": [("2.3775", "9", "5.42")]}


def test_what_leaves_without_tax_has_no_state(world):
    send(world, "501", "CA", to="export", permit="P-1", rows=[{"lot": "K-1", "cases": 2}])
    assert told(world) == {}


def test_a_cancelled_invoice_takes_its_gallons_back(world):
    send(world, "501", "CA", rows=[{"lot": "K-1", "cases": 2}], not_gone=True)
    world.record("cancel-invoice", "2026-03-26 09:00", document="501", reason="called off")
    assert told(world) == {"CA": [("0.0000", "0", "0.00")]}


def test_a_quarter_is_its_three_months(world):
    send(world, "501", "CA", at="2026-02-10 10:00", rows=[{"lot": "K-1", "cases": 2}])
    send(world, "502", "CA", rows=[{"lot": "K-1", "cases": 2}])
    assert told(world, Q1) == {"CA": [("9.5102", "36", "31.38")]}
    assert told(world) == {"CA": [("4.7551", "18", "15.69")]}
    assert (Q1.begin, Q1.end, Q1.code) == (date(2026, 1, 1), date(2026, 3, 31), "2026-Q1")
    assert period_of(date(2026, 12, 31), "quarter").end == date(2026, 12, 31)


def test_the_rate_is_that_of_the_day(world):
    new = {"state": "CA", "basis": "wine_gallon", "premises": world.premises, "source": "made up"}
    StateRate.objects.create(rate="5", effective=date(2026, 3, 20), **new)
    send(world, "501", "CA", at="2026-03-10 10:00", rows=[{"lot": "K-1", "cases": 2}])
    send(world, "502", "CA", rows=[{"lot": "K-1", "cases": 2}])
    assert [tax for _, _, tax in told(world)["CA"]] == ["15.69", "23.78"]


def test_a_plants_own_rate_serves_that_plant_alone(world):
    StateRate.objects.create(
        state="CA", basis="package", rate="0.10", effective=date(2026, 1, 1), source="made up",
        premises=world.premises,
    )  # fmt: skip
    send(world, "501", "CA", rows=[{"lot": "K-1", "cases": 2}, {"lot": "K-2", "cases": 1}])
    assert [tax for _, _, tax in told(world)["CA"]] == ["3.60"]
    assert StateRate.of(None).filter(state="CA").count() == 2


def test_a_filed_worksheet_keeps_its_figure_when_the_rate_changes(world):
    send(world, "501", "CA", rows=[{"lot": "K-1", "cases": 2}])
    kept = file_state(world.premises, MARCH, "CA", TOLD, by="ada", now=APRIL)
    assert (kept.form, kept.source, kept.confirmation) == ("state-CA", "month", "S-1")
    before = bytes(kept.pdf)
    StateRate.objects.filter(state="CA").update(rate="9")
    now = filed_states(world.premises, sheet(world))["CA"]
    assert (now.tax, now.is_changed) == (Decimal("15.69"), True)
    assert sheet(world).of("CA").tax == Decimal("42.80")
    assert bytes(Filed.objects.get().pdf) == before
    again = file_state(world.premises, MARCH, "CA", TOLD, by="ada", now=APRIL)
    assert again.version == 1
    assert loads(kept.content)["states"][0]["tax"] == "15.69"


def test_a_worksheet_is_filed_after_its_period_and_once(world):
    send(world, "501", "CA", rows=[{"lot": "K-1", "cases": 2}])
    with pytest.raises(BadFact, match="March 2026 has not ended"):
        file_state(
            world.premises, MARCH, "CA", TOLD, by="ada", now=datetime(2026, 3, 31, tzinfo=UTC)
        )
    file_state(world.premises, MARCH, "CA", TOLD, by="ada", now=APRIL)
    with pytest.raises(BadFact, match="nothing changed since"):
        file_state(world.premises, MARCH, "CA", TOLD, by="ada", now=APRIL)
    # A later removal to another State changes nothing of it.
    send(world, "502", "CO", rows=[{"lot": "K-1", "cases": 2}])
    assert not filed_states(world.premises, sheet(world))["CA"].is_changed
    assert file_state(world.premises, Q1, "CA", TOLD, by="ada", now=APRIL).source == "quarter"


def test_it_is_due_on_the_day_its_rate_names(world):
    # 16 TAC 41.30: the 15th; California's day is not known here
    for number, state in enumerate(("TX", "CA", "OR")):
        send(world, f"50{number}", state, rows=[{"lot": "K-1", "cases": 1}])
    (one,) = states_due(world.premises, date(2026, 4, 10))
    assert (one.state, one.period.code, one.day) == ("TX", "2026-03", date(2026, 4, 15))
    file_state(world.premises, Q1, "TX", TOLD, by="ada", now=APRIL)
    assert len(list(states_due(world.premises, date(2026, 4, 20)))) == 1  # the month is not filed
    file_state(world.premises, MARCH, "TX", TOLD, by="ada", now=APRIL)
    assert list(states_due(world.premises, date(2026, 4, 20))) == []


def test_a_rate_with_an_empty_band_is_refused():
    rate = StateRate(
        state="OR", basis="liter", rate="1", effective=DAY, source="made up",
        over_proof=Decimal(100), through_proof=Decimal(80),
    )  # fmt: skip
    with pytest.raises(ValidationError, match="above the lower one"):
        rate.full_clean()


@pytest.mark.parametrize("typed", ["CA", "ca", "C.A.", " california ", "California"])
def test_a_state_is_known_by_its_letters_and_its_name(typed):
    assert state_of(typed) == "CA"
    assert len(NAMES) == 52  # fifty States, the District, Puerto Rico


def test_the_same_figures_in_every_format(world, capsys):
    send(world, "501", "CA", rows=[{"lot": "K-1", "cases": 2}])
    assert pdf.render([sheet_of_states(sheet(world))]) == pdf.render(
        [sheet_of_states(sheet(world))]
    )
    for format in ("text", "csv", "json"):
        assert b"15.69" in render_states(sheet(world), format)
    assert render_states(sheet(world), "xlsx").startswith(b"PK")
    call_command("filing", "2026-03", form="state")
    assert "15.69" in capsys.readouterr().out
