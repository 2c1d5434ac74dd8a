"""The floors: an import may only look down."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
BANNED = {
    "ledger": {"distillery", "reports"},
    "ledger/gauging": {"distillery", "reports", "django"},
    "distillery": {"reports"},
}


def imported(path: Path) -> set[str]:
    """The first names of all modules a file imports, at any depth; relative ones are its own."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            names.add(node.module)
    return {name.partition(".")[0] for name in names}


@pytest.mark.parametrize("floor", BANNED)
def test_it_imports_only_from_below(floor):
    files = sorted((ROOT / floor).rglob("*.py"))
    assert files
    wrong = {
        str(path.relative_to(ROOT)): sorted(up)
        for path in files
        if (up := imported(path) & BANNED[floor])
    }
    assert wrong == {}


def test_it_climbs_no_floor_by_dots():
    """A relative import stays inside its floor; it never has more dots than folders."""
    wrong = []
    for floor in ("ledger", "distillery", "reports"):
        for path in (ROOT / floor).rglob("*.py"):
            depth = len(path.relative_to(ROOT).parts) - 1
            nodes = ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            wrong += [
                f"{path.relative_to(ROOT)}:{node.lineno}"
                for node in nodes
                if isinstance(node, ast.ImportFrom) and node.level > depth
            ]
    assert wrong == []
