"""The published cases of filing that no other test reads, and that none is forgotten.

The source stands in each row of ``filing_cases.json``; derived rows name what they rest on.
"""

import json
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest

from ledger.gauging import proof_gallons
from ledger.gauging.by_count import WINE_GALLONS_PER_LITER, gauge_by_cases
from ledger.quantities import to_hundredths
from reports.effective_rates import credited
from reports.faces.sheet import source_title
from reports.filling import fill, sources_in
from reports.forms import FORMS
from reports.month_book import read_book
from reports.rates import rates_on, split
from reports.return_periods import return_periods
from tests.reports.filing_cases import ROWS, rows
from tests.reports.months import APRIL, FEBRUARY, leg, spirits
from tests.test_rule_cases import read_by

PRODUCTION, STORAGE, PROCESSING = FORMS.values()
DERIVED = {
    row["id"]: row
    for row in json.loads(Path(__file__).with_name("filing_cases.json").read_text())[
        "derived_checks"
    ]
}
READERS = (
    "tests.reports.test_filing_cases",
    "tests.reports.test_return_periods",
    "tests.reports.test_effective_rates",
    "tests.reports.test_state_tax",
    "tests.reports.test_content_credits",
)


def test_every_case_is_read_by_a_test():
    read = {name for module in READERS for name in read_by(module)}
    known = {row["id"] for row in ROWS}
    assert len(known) == len(ROWS) == 49
    assert known - read == set()


@pytest.mark.parametrize("row", ROWS, ids=[f"source-{row['id']}" for row in ROWS])
def test_a_case_names_its_source_and_what_it_expects(row):
    assert row["source"].strip()
    assert row["expect"]


@pytest.mark.parametrize("row", rows("case_gallons"))
def test_a_case_has_the_gallons_of_the_conversion_table(row):
    case, expected = row["input"], row["expect"]
    found = gauge_by_cases(
        bottle_ml=case["bottle_ml"], bottles=case["bottles_per_case"], proof="80"
    )
    liters = Decimal(expected["liters"]).normalize()
    step = f"{liters:f} liters x 0.264172 = {expected['wine_gallons']} wine gallons"
    assert step in found.steps, row["source"]
    assert liters * WINE_GALLONS_PER_LITER == Decimal(expected["wine_gallons"])


@pytest.mark.parametrize("row", rows("proof_gallons"))
def test_a_gallon_has_its_proof_gallons(row):
    case = row["input"]
    found = proof_gallons(case["gallons"], case["proof"])
    assert found == Decimal(row["expect"]["pg"]), row["source"]


HOLDINGS = {
    "US-made spirits": ("whisky", "domestic"),
    "Scotch whisky": ("whisky", "imported"),
    "Canadian whisky": ("whisky", "imported"),
    "Puerto Rican rum": ("rum", "puerto_rican"),
}


@pytest.mark.parametrize("row", rows("storage_reports"))
def test_a_storage_report_is_made_for_each_source(book, row):
    expected = row["expect"]
    for place, (name, vessel) in enumerate(
        zip(row["input"]["holdings"], ("S-1", "NS", "P-1", "P-2"), strict=True)
    ):
        class_code, source = HOLDINGS[name]
        code = f"Z-{place}"
        came = "other_plant" if source == "domestic" else "customs"
        book.post(
            f"2026-04-0{place + 1} 10:00",
            leg(f"{came} {code}", f"storage {code} {vessel}", "receive", 100, 100),
            lots=(spirits(code, class_code, source=source),),
        )
    found = sources_in(read_book(book.premises, APRIL))
    assert len(found) == expected["reports"], row["source"]
    titles = [source_title(source).lower() for source in found]
    assert titles == [box.lower() for box in expected["boxes"]], row["source"]
    imported = fill(STORAGE, book.premises, APRIL, "imported")
    assert imported.value("", "3") == 100 * len(expected["imported_report_holds"])


def _lines(book, form, month):
    """The lines of a form that hold a figure, as (part, line)."""
    filled = fill(form, book.premises, month, "domestic" if form is STORAGE else "")
    return {(part.part, line.number) for part, line, _, cell in filled.every_cell() if cell.value}


def _gin_in_production(book, expected):
    """February: neutral spirits drawn from storage, charged, and made into gin (months.py)."""
    storage = _lines(book, STORAGE, FEBRUARY)
    assert {("", line) for line in expected["5110.11"]} <= storage
    production = _lines(book, PRODUCTION, FEBRUARY)
    for place in expected["5110.40"]:
        part, line = place.split(" ")[0].split(".")
        assert (part, line) in production
    used = fill(PRODUCTION, book.premises, FEBRUARY).part("V").lines[0]
    words = used.caption.lower().replace(",", "")
    assert "alcohol and spirits 190" in words
    assert "over" in words


def _neutral_in_a_product(book, expected):
    """20 gal at 100 proof are 20 PG (27 CFR 30.51), drawn into processing."""
    book.post(
        "2026-04-02 09:00",
        leg("storage N-1 NS", "processing N-1 P-2", "transfer", 2000, 2000),
    )
    storage = fill(STORAGE, book.premises, APRIL, "domestic")
    processing = fill(PROCESSING, book.premises, APRIL)
    for line, gallons in expected["5110.11"].items():
        assert storage.value("", line) == to_hundredths(Decimal(gallons))
    for place, gallons in expected["5110.28"].items():
        part, line, column = place.split(".")
        assert processing.value(part, line, column) == to_hundredths(Decimal(gallons))


EVENTS = {"flow-gns-gin": _gin_in_production, "flow-gns-processing": _neutral_in_a_product}


@pytest.mark.parametrize("row", rows("event_lines"))
def test_an_event_fills_its_lines(book, row):
    EVENTS[row["id"]](book, row["expect"])


def _cents(value):
    return value.quantize(Decimal("0.01"), ROUND_HALF_UP)


def test_a_removal_across_the_limit_is_split():
    # 26 U.S.C. 5001(c)(1)
    rates = rates_on(date(2026, 1, 1))
    parts = dict(split(Decimal("100.0"), rates, used=Decimal("99950.0")))
    expected = DERIVED["d-cbma-1"]["expect"]
    assert parts == {
        Decimal("2.70"): Decimal(expected["at_2.70"]),
        Decimal("13.34"): Decimal(expected["at_13.34"]),
    }
    assert sum(rate * proof for rate, proof in parts.items()) == Decimal(expected["tax"])


def test_above_both_limits_the_general_rate_applies():
    rates = rates_on(date(2026, 1, 1))
    ((rate, proof),) = split(Decimal("1.0"), rates, used=Decimal("22230000.0"))
    assert rate * proof == Decimal(DERIVED["d-cbma-2"]["expect"]["tax"])


def test_the_limit_begins_anew_each_january():
    ((rate, proof),) = split(Decimal("10.0"), rates_on(date(2026, 1, 1)), used=Decimal(0))
    expected = DERIVED["d-cbma-3"]["expect"]
    assert (rate, rate * proof) == (Decimal(expected["rate"]), Decimal(expected["tax"]))


def test_cases_are_taxed_on_their_tenth():
    case, expected = DERIVED["d-case-80"]["input"], DERIVED["d-case-80"]["expect"]
    found = gauge_by_cases(
        bottle_ml=case["bottle_ml"], bottles=case["cases"] * case["per_case"], proof=case["proof"],
        step="0.1",
    )  # fmt: skip
    assert found.proof_gallons == Decimal(expected["pg"])
    assert found.wine_gallons == Decimal(expected["wine_gallons_convert_last"])
    assert any(expected["wine_gallons_convert_first"] in step for step in found.steps)
    assert _cents(found.proof_gallons * Decimal(case["rate"])) == Decimal(expected["tax"])


def test_the_credit_beside_the_lowest_rate_leaves_nothing():
    case, expected = DERIVED["d-etr-270"]["input"], DERIVED["d-etr-270"]["expect"]
    found = credited(
        Decimal(case["applicable_rate"]), general=Decimal("13.50"),
        effective=Decimal(case["general_effective_rate"]),
    )  # fmt: skip
    assert found == Decimal(expected["rate"])


def test_the_semi_monthly_returns_of_2026():
    case, expected = DERIVED["d-due-2026"]["input"], DERIVED["d-due-2026"]["expect"]
    found = return_periods("semimonthly", case["year"], eft=case["eft_required"])
    assert [one.due.isoformat() for one in found] == expected["TR-2026"]
