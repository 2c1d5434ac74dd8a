"""The published figures in cases.json, as test parameters: table cells, worked examples, densities.

Each row names its source. `status` marks the few that are known by heart or worked back from
other printed figures; all others were read in the source.
"""

import json
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

# The rows of the published figures that cannot apply to this program, each with the reason.
BELOW_ZERO = "a reading below 0; the proof hydrometer's scale starts there (27 CFR 30.22)"
NOT_ON_THE_SCALE = {
    "tralles-0-30F": BELOW_ZERO,
    "tralles-0-40F": BELOW_ZERO,
    "tralles-0-45F": BELOW_ZERO,
    "tralles-0-55F": BELOW_ZERO,
}


@cache
def all_rows():
    text = Path(__file__).with_name("cases.json").read_text(encoding="utf-8")
    return json.loads(text, parse_float=Decimal)["rows"]


def rows(*quantities):
    """Parameters (given, printed), one for each published row of the quantities."""
    found = [row for row in all_rows() if row["quantity"] in quantities]
    assert found, quantities
    return [pytest.param(row["given"], row["printed"], id=row["id"]) for row in found]


def row(name):
    """(given, printed) of one row."""
    (found,) = [row for row in all_rows() if row["id"] == name]
    return found["given"], found["printed"]


def all_but(parameters, known):
    """The parameters without those that a known-difference test checks by name."""
    assert set(known) <= {one.id for one in parameters}
    return [one for one in parameters if one.id not in known]
