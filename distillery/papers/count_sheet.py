"""A sheet to count by on paper (27 CFR 19.623): every place, with or without the book's figures."""

from distillery.counts import BOTTLES, BULK, figure
from distillery.models import OpenCount
from distillery.notices import told_day
from distillery.operations.count import STATEMENT
from distillery.pages.sentences import account_title, title_of
from distillery.papers.paper import BLANK, Facts, Note, Paper, Table
from ledger.looking import Held

BULK_HEADS = (
    "Container", "Kind and lot", "Book", "Volume, dip or gross", "Temp.", "Proof or reading",
    "at temp.", "Proof gallons", "By",
)  # fmt: skip
BULK_SHARES = (11, 18, 15, 13, 7, 10, 8, 11, 7)
COUNT_HEADS = ("Container", "Kind and lot", "Book", "Found", "Note", "By")
ROW = 27  # points: room for a pencil
COUNT_SHARES = (14, 30, 20, 14, 14, 8)


def count_sheet(count: OpenCount, held: list[Held], *, with_book: bool) -> Paper:
    """The paper; each account a table of its own, and the signature of the law's inventories."""
    premises = count.premises
    facts = (
        ("Plant", premises.name),
        ("Registry", premises.registry),
        ("Count", f"No. {count.number}, {count.get_kind_display()}"),
        ("Stands for the end of", told_day(count.as_of)),
        ("Counted on", BLANK),
    )
    accounts = dict.fromkeys(one.account for one in held)
    tables = tuple(_table(account, held, with_book) for account in accounts)
    signed = (_signature(),) if count.kind != OpenCount.Kind.OTHER else ()
    foot = f"{premises.name} · {premises.registry} · count No. {count.number}"
    title = "Count sheet" if count.kind == OpenCount.Kind.OTHER else "Physical inventory"
    notes = (Note(STATEMENT),) if signed else ()
    return Paper(f"{title}, 27 CFR 19.623", facts, (*tables, *notes, *signed), foot)


def _table(account: str, held: list[Held], with_book: bool) -> Table:
    rows = [one for one in held if one.account == account]
    is_bulk = account in BULK
    heads, shares = (BULK_HEADS, BULK_SHARES) if is_bulk else (COUNT_HEADS, COUNT_SHARES)
    drawn = [_row(one, with_book, len(heads)) for one in rows]
    # Empty rows for what the book does not have; the last stands where a paper has its total.
    spare = [("",) * len(heads)] * (2 if account not in BOTTLES else 3)
    return Table(account_title(account).capitalize(), heads, (*drawn, *spare), shares, ROW)


def _row(one: Held, with_book: bool, columns: int) -> tuple[str, ...]:
    name = title_of(one.vessel)
    vessel = one.vessel.code if name == one.vessel.code else f"{one.vessel.code} {name}"
    book = figure(one, (one.amount, one.wine_gallons, one.proof_gallons)) if with_book else BLANK
    told = (vessel, f"{one.lot.name} {one.lot.code}", book)
    return (*told, *("",) * (columns - len(told)))


def _signature() -> Facts:
    names = ("Signed", "Name", "Title", "Date and time")
    return Facts("Proprietor, or who counted", tuple((name, BLANK) for name in names))
