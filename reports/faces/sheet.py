"""One sheet for text, CSV and paper: a heading, facts, and ruled tables of text."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from ledger.classes import SOURCES
from ledger.quantities import to_decimal
from reports.checks import Check
from reports.content_credits import UNCONFIRMED
from reports.filled import FilledForm, FilledLine, FilledPart
from reports.forms.shape import CHECK
from reports.tax import Document, TaxFigure, credited_shares

WORKSHEET = (
    "Worksheet: type the figures into the official form or portal. Not a substitute form.",
    "Not tax advice.",
)
DASH = "–"
CHECKS = "Checks"


@dataclass(frozen=True, slots=True)
class Table:
    """A ruled table: column heads, rows of text, and how many columns at the left are words.

    ``strong`` holds the places of rows that are totals.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    words: int
    notes: tuple[str, ...] = ()
    strong: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Sheet:
    """A filing on paper: what it is, whose, and its tables."""

    title: str
    facts: tuple[tuple[str, str], ...]
    tables: tuple[Table, ...]
    notes: tuple[str, ...]
    foot: str


def figure(hundredths: int) -> str:
    """A figure of a filing; zero is a dash."""
    return f"{to_decimal(hundredths):,f}" if hundredths else DASH


def amount(value: Decimal) -> str:
    """Proof gallons or dollars with thousands parted."""
    return f"{value:,f}"


def sheet_of_form(form: FilledForm, checks: Sequence[Check] = ()) -> Sheet:
    """The sheet of a filled form, with its checks under it."""
    facts = [*_facts(form.plant, form.registry, f"{form.month:%B %Y}", form.status)]
    facts.insert(2, ("Edition", form.edition))
    if form.source:
        facts.append(("Report covers", source_title(form.source)))
    tables = [_table(part) for part in form.parts]
    if checks:
        tables.append(checks_table(checks))
    return Sheet(
        f"{form.number} · {form.title}", tuple(facts), tuple(tables),
        (*form.notes, *WORKSHEET), foot_of(form.through),
    )  # fmt: skip


def source_title(source: str) -> str:
    """The source box of a storage report in words."""
    title = SOURCES[source]
    return f"{title} spirits and all wines" if source == "domestic" else f"{title} spirits"


def _facts(plant: str, registry: str, month: str, status: str) -> Iterable[tuple[str, str]]:
    return (("Plant", plant), ("Registry", registry), ("Month", month), ("Status", status))


def foot_of(through: tuple[int, str]) -> str:
    """What the figures rest on: the newest entry and the head of the seal chain."""
    number, seal = through
    return f"Recorded through entry {number}. Seal head {seal or 'none'}."


def _table(part: FilledPart) -> Table:
    heads = ("Line", "", *(f"({column.key}) {column.caption}" for column in part.columns))
    rows = tuple(
        (line.number, caption_of(line), *(_cell(line, column.key) for column in part.columns))
        for line in part.lines
    )
    title = f"Part {part.part} · {part.title}" if part.part else part.title
    strong = frozenset(n for n, line in enumerate(part.lines) if line.is_total)
    return Table(title, heads, rows, 2, part.notes, strong)


def caption_of(line: FilledLine) -> str:
    """A caption with its note behind it; what is to be checked is marked with a star."""
    star = "*" if CHECK in line.note else ""
    note = "; ".join(text for text in line.note.split("; ") if text and text != CHECK)
    return f"{line.caption}{star} ({note})" if note else f"{line.caption}{star}"


def _cell(line: FilledLine, key: str) -> str:
    return figure(line.cells[key].value) if key in line.cells else ""


def checks_table(checks: Sequence[Check]) -> Table:
    """Each check with both figures and whether it holds."""
    rows = tuple(
        (
            one.title + (f" ({one.detail})" if one.detail else ""),
            one.kind,
            "holds" if one.holds else "does not hold",
            figure(one.left),
            figure(one.right),
        )
        for one in checks
    )
    failed = frozenset(n for n, one in enumerate(checks) if not one.holds)
    return Table(CHECKS, ("Check", "Rests on", "State", "Left", "Right"), rows, 3, strong=failed)


def sheet_of_tax(tax: TaxFigure) -> Sheet:
    """The tax figure: documents, sums by rate, and the year's tiers."""
    return Sheet(
        "Federal excise tax · worksheet",
        (*_facts(tax.registry and tax.plant, tax.registry, f"{tax.month:%B %Y}", tax.status),
         ("Rates", tax.rates.source)),
        (_documents(tax), _by_rate(tax), *credits_table(tax.documents), _tiers(tax)),
        (
            "Each document is one withdrawal: proof gallons to the nearest tenth at each rate "
            "(27 CFR 19.611, 19.612), tax to the cent.",
            "A bottled shortage is taxed in the period it was found (27 CFR 19.465); that it "
            "counts toward the reduced rates is our reading.",
            "Semi-monthly filers add up the days of each period.",
            *WORKSHEET,
        ),
        foot_of(tax.through),
    )  # fmt: skip


def _documents(tax: TaxFigure) -> Table:
    rows = [
        (
            f"{document.day:%Y-%m-%d}", document.number, document.kind,
            ", ".join(str(share.rate) for share in document.shares) or DASH,
            amount(document.proof_gallons), amount(document.tax),
        )
        for document in tax.documents
    ]  # fmt: skip
    rows.append(("", "Total", "", "", amount(tax.proof_gallons), amount(tax.tax)))
    heads = ("Day", "Document", "Kind", "Rate, $/PG", "Proof gallons", "Tax, $")
    return Table("Documents of the month", heads, tuple(rows), 3, strong=frozenset({len(rows) - 1}))


def _by_rate(tax: TaxFigure) -> Table:
    rows = tuple((str(s.rate), amount(s.proof_gallons), amount(s.tax)) for s in tax.by_rate)
    return Table("By rate", ("Rate, $/PG", "Proof gallons", "Tax, $"), rows, 1)


def credits_table(documents: Iterable[Document]) -> list[Table]:
    """Which lots got a credit for wine and flavor content, and that the reading is unconfirmed."""
    rows = tuple(
        (document.number, ", ".join(share.lots), str(share.effective), str(share.before),
         str(share.rate), amount(share.proof_gallons))
        for document, share in credited_shares(documents)
    )  # fmt: skip
    heads = ("Document", "Lots", "Kept rate, $/PG", "Without it, $/PG", "With it, $/PG",
             "Proof gallons")  # fmt: skip
    title = "Credit for wine and flavor content"
    return [Table(title, heads, rows, 2, (UNCONFIRMED,))] if rows else []


def _tiers(tax: TaxFigure) -> Table:
    rows = tuple(
        (str(tier.rate), f"{tier.through:,f}" if tier.through else "above", amount(tier.used))
        for tier in tax.tiers
    )
    heads = ("Rate, $/PG", "Up to, PG of the year", "Used by the month's end, PG")
    return Table(f"Reduced rates used in {tax.month.year}", heads, rows, 1)
