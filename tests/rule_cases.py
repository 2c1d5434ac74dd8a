"""The check cases of the numeric rules: each row is printed in a regulation or made from one.

``rule_cases.json`` holds 92 rows with their sources; the tests that read them are named for
their topic, and ``test_every_case_is_read`` counts that no row is forgotten.
"""

import json
from pathlib import Path

import pytest

ROWS = json.loads((Path(__file__).parent / "rule_cases.json").read_text())["cases"]


def rows(*topics):
    """pytest parameters of the rows of *topics*, named by their ids."""
    found = [row for row in ROWS if row["topic"] in topics]
    return [pytest.param(row, id=row["id"]) for row in found]


def named(*ids):
    """pytest parameters of the rows with these ids."""
    found = {row["id"]: row for row in ROWS}
    return [pytest.param(found[name], id=name) for name in ids]
