"""The tax return as a sheet, in the line order of TTB F 5000.24, and as kept content.

Lines as read in the bureau's clearance papers of 2017 (OMB 1513-0083).
"""

from decimal import Decimal
from typing import Any

from reports.faces.json import credit_of
from reports.faces.sheet import WORKSHEET, Sheet, Table, amount, credits_table, foot_of
from reports.return_adjustments import Item, taxes
from reports.returns import ReturnFigure
from reports.tax import Document

TITLE = "Excise tax return, TTB F 5000.24 · worksheet"
OTHERS = (
    ("10", "Wine"), ("11", "Beer"), ("12", "Cigars"), ("13", "Cigarettes"),
    ("14", "Cigarette papers and tubes"), ("15", "Chewing tobacco and snuff"),
    ("16", "Pipe and roll-your-own tobacco"),
)  # fmt: skip
DASH = "–"


def lines_of(figure: ReturnFigure) -> list[tuple[str, str, Decimal | None]]:
    """(line, caption, dollars) of the liability block; None where a plant has no such tax."""
    return [
        ("9", "Distilled spirits", figure.spirits),
        *((number, caption, None) for number, caption in OTHERS),
        ("17", "Total tax liability, lines 9 to 16", figure.spirits),
        ("18", "Adjustments increasing, from line 29", figure.increase),
        ("19", "Gross amount due, lines 17 and 18", figure.gross),
        ("20", "Adjustments decreasing, from line 34", figure.decrease),
        ("21", "Amount to be paid, line 19 less line 20", figure.payable),
    ]


def sheet_of_return(figure: ReturnFigure) -> Sheet:
    """The worksheet of one return."""
    period = figure.period
    facts = (
        ("Plant", figure.plant), ("Registry", figure.registry),
        ("Month", f"{period.begin:%Y-%m-%d} to {period.end:%Y-%m-%d}"),
        ("Serial number", period.serial), ("Taxpayer", figure.proprietor or DASH),
        ("EIN", figure.ein or DASH), ("Return", figure.frequency),
        ("Due", f"{period.due:%Y-%m-%d}"), ("Status", "filed" if figure.filed else "not filed"),
    )  # fmt: skip
    tables = [
        _liability(figure),
        _schedule("Schedule A · adjustments increasing", figure.increasing, (25, 28, 29)),
        _schedule("Schedule B · adjustments decreasing", figure.decreasing, (30, 33, 34)),
        _documents("Documents of line 9", figure.documents),
        _by_rate(figure),
        *credits_table(figure.documents),
    ]
    if figure.prepaid:
        tables.append(_prepaid(figure))
    return Sheet(TITLE, facts, tuple(tables), NOTES, foot_of(figure.through))


NOTES = (
    "One return for each period, also when no tax is due (27 CFR 19.234).",
    "A payment through Pay.gov is finished by 4 p.m. Eastern one business day before it is due.",
    "Credit only what TTB has approved, with its claim number; interest only as TTB has told it.",
    *WORKSHEET,
)


def _liability(figure: ReturnFigure) -> Table:
    rows = tuple(
        (number, caption, amount(value) if value is not None else DASH)
        for number, caption, value in lines_of(figure)
    )
    strong = frozenset({len(rows) - 5, len(rows) - 1})
    return Table("Tax", ("Line", "", "Dollars"), rows, 2, strong=strong)


def _schedule(title: str, items: tuple[Item, ...], lines: tuple[int, int, int]) -> Table:
    first, subtotal, total = lines
    rows: list[tuple[str, ...]] = [
        (_row_number(first, subtotal, place), item.explanation,
         amount(item.tax), amount(item.interest), amount(item.penalty))
        for place, item in enumerate(items)
    ]  # fmt: skip
    parts = [sum((getattr(item, name) for item in items), Decimal("0.00"))
             for name in ("tax", "interest", "penalty")]  # fmt: skip
    rows.append((str(subtotal), "Subtotals", *(amount(part) for part in parts)))
    rows.append((str(total), "Total", amount(sum(parts, Decimal("0.00"))), "", ""))
    heads = ("Line", "Explanation", "Tax, $", "Interest, $", "Penalty, $")
    return Table(title, heads, tuple(rows), 2, strong=frozenset({len(rows) - 1}))


def _row_number(first: int, subtotal: int, place: int) -> str:
    """The form has three lines; what does not fit goes on a sheet of its own."""
    number = first + place
    return str(number) if number < subtotal else f"{subtotal - 1} (more)"


def _documents(title: str, documents: tuple[Document, ...]) -> Table:
    rows = [
        (f"{one.day:%Y-%m-%d}", one.number, one.kind,
         ", ".join(str(share.rate) for share in one.shares) or DASH,
         amount(one.proof_gallons), amount(one.tax))
        for one in documents
    ]  # fmt: skip
    tax = sum((one.tax for one in documents), Decimal("0.00"))
    proof = sum((one.proof_gallons for one in documents), Decimal("0.0"))
    rows.append(("", "Total", "", "", amount(proof), amount(tax)))
    heads = ("Day", "Document", "Kind", "Rate, $/PG", "Proof gallons", "Tax, $")
    return Table(title, heads, tuple(rows), 3, strong=frozenset({len(rows) - 1}))


def _by_rate(figure: ReturnFigure) -> Table:
    rows = tuple((str(s.rate), amount(s.proof_gallons), amount(s.tax)) for s in figure.by_rate)
    return Table("Line 9 by rate", ("Rate, $/PG", "Proof gallons", "Tax, $"), rows, 1)


def _prepaid(figure: ReturnFigure) -> Table:
    rows = tuple((serial, one.number, amount(one.tax)) for serial, one in figure.prepaid)
    return Table("Paid before by prepayment return", ("Return", "Document", "Tax, $"), rows, 2)


def content_of(figure: ReturnFigure, everything: list[Document]) -> dict[str, Any]:
    """What a filed return is kept as: its lines, documents, schedules, and what they rest on.

    ``taxes`` is the tax of every document of the period, against which later changes are seen.
    """
    return {
        "form": "TTB F 5000.24",
        "serial": figure.period.serial,
        "begin": figure.period.begin.isoformat(),
        "end": figure.period.end.isoformat(),
        "due": figure.period.due.isoformat(),
        "frequency": figure.frequency,
        "premises": figure.registry,
        "plant": figure.plant,
        "taxpayer": figure.proprietor,
        "ein": figure.ein,
        "lines": {number: str(value) for number, _, value in lines_of(figure) if value is not None},
        "documents": [_document(one) for one in figure.documents],
        "schedule_a": [_item(one) for one in figure.increasing],
        "schedule_b": [_item(one) for one in figure.decreasing],
        "prepaid": [[serial, _document(one)] for serial, one in figure.prepaid],
        "taxes": {name: str(tax) for name, tax in taxes(everything).items()},
        "adjusted": [
            {"of": one.of, "document": one.document, "tax": str(sign * one.tax)}
            for sign, rows in ((1, figure.increasing), (-1, figure.decreasing))
            for one in rows
            if one.of
        ],
        "through_entry": figure.through[0],
        "seal": figure.through[1],
        "note": "worksheet, not tax advice",
    }


def _item(item: Item) -> dict[str, str]:
    return {
        "explanation": item.explanation,
        "tax": str(item.tax),
        "interest": str(item.interest),
        "penalty": str(item.penalty),
    }


def _document(one: Document) -> dict[str, Any]:
    return {
        "day": one.day.isoformat(),
        "document": one.number,
        "kind": one.kind,
        "entries": list(one.entries),
        "shares": [
            {
                "rate": str(s.rate),
                "proof_gallons": str(s.proof_gallons),
                "tax": str(s.tax),
                **credit_of(s),
            }
            for s in one.shares
        ],
        "proof_gallons": str(one.proof_gallons),
        "tax": str(one.tax),
    }
