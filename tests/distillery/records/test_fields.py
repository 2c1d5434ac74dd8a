"""Every field that the law asks of a record is a column of it, or named here with the reason.

``asked.json`` lists records with their sections of 27 CFR part 19 (2015 edition, sections 19.598
and 19.599 as of 2026) and the fields each section names; 19.593 from its text as read in 2015.
"""

import json
from pathlib import Path

import pytest

from distillery.operations import operations
from distillery.records import kinds

ASKED = json.loads(Path(__file__).with_name("asked.json").read_text())
KIND_OF = {
    "daily_common": "daily-record",
    "materials_received_used": "materials",
    "distilling_material": "distilling-material",
    "production": "production",
    "gauge_record": "gauge-records",
    "package_gauge_record": "package-gauge-records",
    "storage_operations": "storage-operations",
    "package_summary": "package-summary",
    "tank_record_lt190": "tank-record",
    "tank_summary_ge190": "tank-summary",
    "transfer_application": "transfer-applications",
    "transfer_record_consignor": "transfers-shipped",
    "transfer_record_consignee": "transfers-received",
    "processing_receipts": "processing-receipts",
    "dump_batch": "dump-batch",
    "redistillation": "redistillation",
    "formula": "formulas",
    "bottling_packaging": "bottling",
    "alcohol_fill_test": "fill-and-alcohol-tests",
    "finished_products": "finished-products",
    "liquor_bottles": "liquor-bottles",
    "relabel_reclose": "relabelling",
    "tax_determination": "tax-determination",
    "tax_summary": "tax-summary",
    "samples": "samples",
    "destruction": "destruction",
    "inventory": "inventories",
    "loss_report": "losses",
    "return_to_bond": "returns-to-bond",
    "taxpaid_storeroom": "taxpaid-storeroom",
    "package_marks": "package-marks",
    "package_marks_processing": "package-marks-processing",
    "case_serials": "case-serials",
    "instrument_tests": "instrument-tests",
}
NO_RECORD = {"monthly_reports": "filings of their own (27 CFR 19.632), kept by the filings' pages"}
NOT_COLUMNS = {
    ("daily_common", "fuel_use_flag"): "a beverage plant; spirits for fuel alone are not kept",
    ("package_summary", "season_or_year_of_fill_optional"): "a choice the law leaves open",
    ("finished_products", "overages"): "as overages_qty and overages_bottles",
    ("transfer_application", "bond_sufficiency"): "stands on the application itself",
    ("formula", "process"): "stands on the approved form itself",
}
# What an act leaves to the record of another, or what is no act on spirits or materials.
NO_RECORD_OF_ITS_OWN = {}


def names_of(slug):
    kind = kinds()[slug]
    return {one.name for one in (*kind.all_heads, *kind.all_columns)}


@pytest.mark.parametrize("record", [name for name in ASKED if name not in NO_RECORD])
def test_every_field_asked_for_is_a_column(record):
    open_fields = set(ASKED[record]["fields"]) - names_of(KIND_OF[record])
    assert {field for field in open_fields if (record, field) not in NOT_COLUMNS} == set()


def test_what_is_no_column_is_asked_for_somewhere():
    for record, field in NOT_COLUMNS:
        assert field in ASKED[record]["fields"]
        assert field not in names_of(KIND_OF[record])
    assert set(ASKED) == set(KIND_OF) | set(NO_RECORD)


@pytest.mark.parametrize("record", KIND_OF)
def test_a_record_names_its_section(record):
    number = kinds()[KIND_OF[record]].number.split(",")[0].split("(")[0].split(" ")[0]
    assert number in ASKED[record]["section"]


def test_every_operation_is_told_in_a_record():
    """Beside the daily record, in which every movement of every operation stands."""
    told = {slug for kind in kinds().values() for slug in kind.operations}
    left = set(operations()) - told
    assert left == set(NO_RECORD_OF_ITS_OWN)


def test_a_record_names_operations_that_there_are():
    named = {
        (kind.slug, slug) for kind in kinds().values() for slug in kind.operations
        if slug not in operations()
    }  # fmt: skip
    assert named == set()


@pytest.mark.parametrize("kind", kinds().values(), ids=lambda kind: kind.slug)
def test_a_declaration_is_whole(kind):
    names = [one.name for one in (*kind.all_heads, *kind.all_columns)]
    assert len(names) == len(set(names))
    assert kind.section.startswith("27 CFR 19.")
    assert kind.title
    assert kind.when
    assert not kind.when.endswith(".")
