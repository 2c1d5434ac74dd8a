"""All filings of a month in one file: the State worksheet stands in it like the rest.

The California rate is that of Alcoholic Beverage Code 201.03, as in test_state_tax.
"""

import csv
import json
from io import BytesIO, StringIO

import pytest
from openpyxl import load_workbook

from reports.filing import Wanted, render
from tests.reports.months import APRIL, MARCH
from tests.reports.state_removals import send, stocked

pytestmark = pytest.mark.django_db


@pytest.fixture
def plant():
    """Two cases to California in March; 24 bottles of 750 mL are 18 liters."""
    world = stocked()
    send(world, "501", "CA", rows=[{"lot": "K-1", "cases": 2}])
    return world.premises


def made(plant, format, month=MARCH, form=""):
    return render(plant, month, Wanted(form), format)


def test_every_format_of_all_filings_tells_what_went_to_the_states(plant):
    told = json.loads(made(plant, "json"))
    assert told["state"] == json.loads(made(plant, "json", form="state"))
    assert told["state"]["states"][0]["liters"].startswith("18")
    rows = list(csv.reader(StringIO(made(plant, "csv").decode())))
    alone = list(csv.reader(StringIO(made(plant, "csv", form="state").decode())))
    assert [row for row in alone if row not in rows] == []
    text = made(plant, "text").decode()
    assert "State excise on spirits" in text
    assert "Removals to California" in text
    names = load_workbook(BytesIO(made(plant, "xlsx"))).sheetnames
    assert sum(name.startswith("State excise") for name in names) == 1
    assert len(made(plant, "pdf")) > len(made(plant, "pdf", form="tax"))


def test_a_month_without_a_removal_has_no_sheet_of_states(plant):
    assert json.loads(made(plant, "json", APRIL))["state"]["states"] == []
    assert "State excise" not in made(plant, "text", APRIL).decode()


def test_one_form_alone_has_nothing_of_the_states(plant):
    assert "State excise" not in made(plant, "text", form="tax").decode()
