"""Checks: does what the forms say hold? Each with both figures, its source and its weight.

What the form, its official help or the law states blocks closing when it fails; what is only
inferred from them warns.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from reports.filled import FilledForm, FilledPart
from reports.month_book import MonthBook

FORM, LAW, INFERRED = "form", "law", "inferred"


@dataclass(frozen=True, slots=True)
class Check:
    """One check: both figures in hundredths of a proof gallon; ``blocking`` stops closing.

    ``lines`` are the lines compared, as "form part line" ("storage - 2"), for a page to open.
    """

    id: str
    title: str
    left: int
    right: int
    kind: str
    holds: bool
    blocking: bool
    detail: str = ""
    lines: tuple[str, ...] = ()


def check(
    id: str, title: str, left: int, right: int, *, kind: str = FORM, holds: bool | None = None,
    blocking: bool | None = None, detail: str = "", lines: tuple[str, ...] = (),
) -> Check:  # fmt: skip
    """A check that holds when both figures are equal, unless *holds* knows better."""
    return Check(
        id, title, left, right, kind,
        left == right if holds is None else holds,
        kind != INFERRED if blocking is None else blocking, detail, lines,
    )  # fmt: skip


def equal_lines(
    id: str, title: str, part: FilledPart, left: str, right: str, *, slug: str
) -> Check:  # fmt: skip
    """Two lines of a part are equal in every column; shows the first that is not."""
    lines = tuple(f"{slug} {part.part or '-'} {number}" for number in (left, right))
    keys = [column.key for column in part.columns if not column.is_total]
    pairs = [(key, part.value(left, key), part.value(right, key)) for key in keys]
    wrong = [(key, one, other) for key, one, other in pairs if one != other]
    if not wrong:
        return check(id, title, part.value(left), part.value(right), lines=lines)
    key, one, other = wrong[0]
    return check(id, title, one, other, holds=False, detail=f"column ({key})", lines=lines)


def no_negative(form: FilledForm) -> Check:
    """No figure is below zero (official help of all three forms)."""
    low = [
        (cell.value, f"part {part.part} " * bool(part.part) + f"line {line.number} ({key})")
        for part, line, key, cell in form.every_cell()
        if cell.value < 0
    ]
    worst, where = min(low, default=(0, ""))
    title = f"{form.number}{_of(form)}: no figure below zero"
    return check(f"{form.slug}-negative{_tag(form)}", title, worst, 0, detail=where)


def _of(form: FilledForm) -> str:
    return f" ({form.source.replace('_', ' ')})" if form.source else ""


def _tag(form: FilledForm) -> str:
    return f"-{form.source}" if form.source else ""


def in_production(form: FilledForm, book: MonthBook) -> Iterable[Check]:
    """Identities of TTB F 5110.40; those between its parts are inferred."""
    part = form.part("I")
    produced = sum(part.value(str(line)) for line in range(1, 14))
    title = "5110.40: line 14 is the sum of lines 1 to 13"
    yield check("40-14", title, part.value("14"), produced, lines=("production I 14",))
    for name, title, columns in (
        ("II", "part II is line 14 (j)", "j"),
        ("III", "part III is line 14 (b) and (c)", "bc"),
        ("IV", "part IV is line 14 (d) and (e)", "de"),
    ):
        rows = form.part(name).lines
        total = sum(form.value(name, number) for number in dict.fromkeys(row.of for row in rows))
        right = part.value("14", *columns)
        yield check(
            f"40-{name}", f"5110.40: {title}", total, right, kind=INFERRED,
            lines=(f"production {name} {rows[0].of}", "production I 14"),
        )  # fmt: skip
    yield _redistil(form, book)
    yield no_negative(form)


def _redistil(form: FilledForm, book: MonthBook) -> Check:
    """Received for redistillation: opening and line 15 against part V, losses and closing."""
    held = [sum(three[2] for (account, _), three in balance.items() if account == "redistil")
            for balance in (book.opening, book.closing)]  # fmt: skip
    named = [("storage", "return"), ("write_in", "other")]
    out = sum(
        three[2] for key, three in book.flows.items()
        if key[0] == "redistil" and (key[1] in ("loss", "destroyed") or key[1:3] in named)
    )  # fmt: skip
    gained = sum(
        three[2] for key, three in book.flows.items() if key[:2] == ("gain", "redistil")
    )  # fmt: skip
    left = held[0] + form.value("I", "15") + gained
    right = form.value("V", "1-8") + out + held[1]
    title = "5110.40: opening and line 15 are part V, losses, returns and what is left"
    lines = ("production I 15", "production V 1-8")
    return check("40-V", title, left, right, kind=INFERRED, lines=lines)


def in_storage(form: FilledForm) -> Iterable[Check]:
    """Identities of TTB F 5110.11 for one source."""
    part, tag, of = form.part(""), _tag(form), _of(form)
    slug = f"storage/{form.source}" if form.source else "storage"
    title = f"5110.11{of}: line 6 is line 24"
    yield equal_lines(f"11-balance{tag}", title, part, "6", "24", slug=slug)
    if form.source == "domestic":
        title = "5110.11 (domestic): line 3, from customs, is empty"
        yield check("11-domestic", title, part.value("3"), 0, lines=("storage - 3",))
    yield no_negative(form)


def in_processing(form: FilledForm) -> Iterable[Check]:
    """Identities of TTB F 5110.28."""
    bulk, cases = form.part("I"), form.part("II")
    slug = form.slug
    yield equal_lines("28-bulk", "5110.28: line 8 is line 26", bulk, "8", "26", slug=slug)
    yield equal_lines("28-finished", "5110.28: line 31 is line 47", cases, "31", "47", slug=slug)
    bottled = bulk.value("9"), cases.value("28")
    lines = ("processing I 9", "processing II 28")
    yield check("28-bottled", "5110.28: line 9 is line 28", *bottled, lines=lines)
    wine = bulk.value("10", "b"), bulk.value("5", "c")
    yield check(
        "28-wine",
        "5110.28: line 10 (b) is line 5 (c)",
        *wine,
        kind=INFERRED,
        lines=("processing I 10", "processing I 5"),
    )
    dumped = cases.value("40"), bulk.value("6")
    yield check(
        "28-dumped",
        "5110.28: line 40 is line 6",
        *dumped,
        kind=INFERRED,
        lines=("processing II 40", "processing I 6"),
    )
    by_kind = form.value("IV", "67", "b"), bulk.value("2", "c")
    yield check(
        "28-IV",
        "5110.28: line 67 (b) is line 2 (c)",
        *by_kind,
        kind=INFERRED,
        lines=("processing IV 67", "processing I 2"),
    )
    yield no_negative(form)


def in_forms(forms: Mapping[tuple[str, str], FilledForm], book: MonthBook) -> list[Check]:
    """Every identity inside the filled *forms*, by (slug, source)."""
    found: list[Check] = []
    for (slug, _), form in forms.items():
        if slug == "production":
            found.extend(in_production(form, book))
        elif slug == "storage":
            found.extend(in_storage(form))
        else:
            found.extend(in_processing(form))
    return found
