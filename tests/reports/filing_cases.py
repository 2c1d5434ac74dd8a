"""The check cases of filing: published due dates, rates and examples, each with its source."""

import json
from pathlib import Path

import pytest

ROWS = json.loads((Path(__file__).parent / "filing_cases.json").read_text())["cases"]


def rows(*topics):
    """pytest parameters of the rows of *topics*, named by their ids."""
    return [pytest.param(row, id=row["id"]) for row in ROWS if row["topic"] in topics]
