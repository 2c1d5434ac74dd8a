"""The code checks itself: sizes, whole numbers in the book, and templates a strict CSP allows."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
FLOORS = ("ledger", "distillery", "reports")
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "manage.py",
    "requirements.txt",
    "pyproject.toml",
    *FLOORS,
    "templates",
    "tests",
}
MAX_MODULE_LINES = 400
MAX_FUNCTION_LINES = 60
VAGUE = re.compile(r"^(utils?|helpers?|commons?|services?|managers?|misc)$")

UNFIT_IN_TEMPLATE = {
    "inline style": re.compile(r"<style\b|\sstyle\s*=", re.IGNORECASE),
    "inline script": re.compile(r"<script\b(?![^>]*\ssrc\s*=)", re.IGNORECASE),
    "event attribute": re.compile(r"\s(on[a-z]+|hx-on[:\w-]*)\s*=", re.IGNORECASE),
    "script in a value": re.compile(r"[\"'](javascript|js):", re.IGNORECASE),
    "outside host": re.compile(
        r"\b(src|srcset|href|action|data|poster)\s*=\s*[\"']?(https?:)?//", re.IGNORECASE
    ),
}
OUTSIDE_IN_CSS = re.compile(r"(url\(|@import)\s*[\"']?(https?:)?//", re.IGNORECASE)


def where(path: Path, line: int) -> str:
    return f"{path.relative_to(ROOT)}:{line}"


def modules(*folders: str) -> Iterator[Path]:
    """Every Python file of the folders, migrations apart."""
    for folder in folders:
        for path in sorted((ROOT / folder).rglob("*.py")):
            if "migrations" not in path.parts:
                yield path


def nodes(path: Path) -> Iterator[ast.AST]:
    yield from ast.walk(ast.parse(path.read_text(encoding="utf-8")))


def templates() -> Iterator[Path]:
    for folder in ("templates", *FLOORS):
        yield from sorted((ROOT / folder).rglob("*.html"))


def test_modules_are_short():
    long = {
        str(path.relative_to(ROOT)): lines
        for path in modules(*FLOORS, "tests")
        if (lines := len(path.read_text(encoding="utf-8").splitlines())) > MAX_MODULE_LINES
    }
    assert long == {}


def test_functions_are_short():
    long = [
        f"{where(path, node.lineno)} {node.name}"
        for path in modules(*FLOORS, "tests")
        for node in nodes(path)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and (node.end_lineno or 0) - node.lineno + 1 > MAX_FUNCTION_LINES
    ]
    assert long == []


def test_modules_have_a_subject():
    vague = [
        str(path.relative_to(ROOT))
        for path in modules(*FLOORS, "tests")
        if VAGUE.match(path.stem) or VAGUE.match(path.parent.name)
    ]
    assert vague == []


def is_float(node: ast.AST) -> bool:
    """A float made, stored or written down."""
    match node:
        case ast.Call(func=ast.Name(id="float")):
            return True
        case ast.Attribute(attr="FloatField") | ast.Name(id="FloatField"):
            return True
        case ast.Constant(value=float()):
            return True
    return False


def test_the_book_knows_no_float():
    """Gauging computes with density polynomials; all else on the ground floor is exact."""
    floats = [
        where(path, node.lineno)
        for path in modules("ledger")
        if "gauging" not in path.parts
        for node in nodes(path)
        if is_float(node)
    ]
    assert floats == []


def test_templates_hold_no_script_style_or_outside_host():
    wrong = [
        f"{where(path, number)} {name}"
        for path in templates()
        for name, unfit in UNFIT_IN_TEMPLATE.items()
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
        if unfit.search(line)
    ]
    assert wrong == []


def test_style_sheets_load_nothing_from_outside():
    wrong = [
        str(path.relative_to(ROOT))
        for floor in FLOORS
        for path in sorted((ROOT / floor).rglob("*.css"))
        if OUTSIDE_IN_CSS.search(path.read_text(encoding="utf-8"))
    ]
    assert wrong == []


def test_the_top_level_is_the_fixed_one():
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert found - {"__pycache__"} == TOP_LEVEL
