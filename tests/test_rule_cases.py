"""No check case is forgotten: each is a test with its source, or named with its reason."""

from importlib import import_module

import pytest

from tests.rule_cases import ROWS

READERS = (
    "tests.distillery.identity.test_rule_cases",
    "tests.distillery.identity.test_named_cases",
    "tests.distillery.test_account_cases",
    "tests.distillery.test_bottling_cases",
    "tests.distillery.test_loss_limits",
    "tests.reports.test_effective_rates",
)
# Rows about the words of a label, which the plant's approved labels hold and no record does.
CANNOT_APPLY = {
    "age-date-alone": "a date of distillation stands on the label; no record of ours prints one",
    "age-old-brand": "words of a brand name are on the label alone; we judge no artwork",
}


def read_by(module):
    """The ids of the rows that the tests of *module* are given."""
    tests = (value for name, value in vars(import_module(module)).items() if name[:5] == "test_")
    for test in tests:
        for mark in getattr(test, "pytestmark", ()):
            if mark.name == "parametrize":
                yield from (one.id for one in mark.args[1] if hasattr(one, "id"))


def test_every_case_is_read():
    read = {name for module in READERS for name in read_by(module)}
    known = {row["id"] for row in ROWS}
    assert len(known) == len(ROWS) == 92
    assert known - read == set(CANNOT_APPLY)


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_a_case_names_its_source(row):
    assert row["source"].strip()
    assert row["expect"]
