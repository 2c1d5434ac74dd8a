"""Every published row is checked by some test here, or named as one that cannot apply."""

import ast
from pathlib import Path

from .published import NOT_ON_THE_SCALE, all_rows


def asked_for():
    """The texts that the tests beside this one give to `rows` and to `row`."""
    quantities, names = set(), set()
    for path in Path(__file__).parent.glob("test_*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                texts = {one.value for one in node.args if isinstance(one, ast.Constant)}
                quantities |= texts if node.func.id == "rows" else set()
                names |= texts if node.func.id == "row" else set()
    return quantities, names


def test_every_published_row_is_checked_or_named():
    quantities, names = asked_for()
    unchecked = [
        one["id"]
        for one in all_rows()
        if one["quantity"] not in quantities and one["id"] not in names
    ]
    assert unchecked == []


def test_there_are_as_many_rows_as_were_published():
    found = [one["id"] for one in all_rows()]
    assert len(found) == len(set(found)) == 901
    assert set(NOT_ON_THE_SCALE) <= set(found)
