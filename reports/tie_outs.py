"""Tie-outs: the forms against each other, against last month, against the tax and the tanks."""

from collections.abc import Iterable, Mapping

from ledger.accounts import ACCOUNTS, SPIRITS
from ledger.totals import Key
from reports.checks import FORM, INFERRED, LAW, Check, check
from reports.filled import FilledForm
from reports.month_book import Balance, MonthBook

Forms = Mapping[tuple[str, str], FilledForm]


def flowed(book: MonthBook, origins: str, ends: str, *purposes: str) -> int:
    """Proof gallons of the month's flows between accounts (a bar separates alternatives)."""

    def takes(key: Key) -> bool:
        fits = key[0] in origins.split("|") and key[1] in ends.split("|")
        return fits and (not purposes or key[2] in purposes)

    return sum(three[2] for key, three in book.flows.items() if takes(key))


def stored(forms: Forms, line: str, *columns: str) -> int:
    """A line of the storage report, over all its sources."""
    found = [form for (slug, _), form in forms.items() if slug == "storage"]
    return sum(form.value("", line, *columns) for form in found)


def between_forms(forms: Forms, book: MonthBook) -> Iterable[Check]:
    """What leaves one report arrives on another."""
    made, used = forms["production", ""], forms["processing", ""]
    bulk, cases = used.part("I"), used.part("II")
    in_bond = flowed(book, "other_plant|winery", "storage", "receive")
    yield check(
        "entered-storage", "5110.40 line 11 is 5110.11 line 2 less receipts in bond",
        made.value("I", "11"), stored(forms, "2") - in_bond,
        lines=("production I 11", "storage - 2"),
    )  # fmt: skip
    outside = flowed(book, "other_plant|winery|customs|tax_determined|taxpaid", "processing")
    yield check(
        "entered-processing",
        "5110.28 line 2 is 5110.40 line 9, 5110.11 line 17, receipts and returns",
        bulk.value("2"), made.value("I", "9") + stored(forms, "17") + outside, kind=INFERRED,
        lines=("processing I 2", "production I 9", "storage - 17"),
    )  # fmt: skip
    returned = flowed(book, "other_plant|customs|tax_determined|taxpaid", "redistil")
    sent = stored(forms, "18") + bulk.value("17") + cases.value("37")
    yield check(
        "redistillation", "5110.40 line 15 is 5110.11 line 18, 5110.28 lines 17 and 37, returns",
        made.value("I", "15"), sent + returned, kind=INFERRED,
        lines=("production I 15", "storage - 18", "processing I 17", "processing II 37"),
    )  # fmt: skip


def taxable_on_forms(forms: Forms, book: MonthBook) -> int:
    """Proof gallons of the taxable lines, and of losses marked as taxed, which have no line."""
    made, used = forms["production", ""], forms["processing", ""]
    on_forms = (
        used.value("II", "33") + used.value("I", "13") + stored(forms, "7")
        + made.value("I", "1") + used.value("II", "45")
    )  # fmt: skip
    losses = sum(
        three[2] for key, three in book.flows.items()
        if key[1] == "loss" and key[6] and key[0] in (*SPIRITS, "other_plant")
    )  # fmt: skip
    return on_forms + losses


def against_tax(forms: Forms, book: MonthBook, taxable: int) -> Check:
    """The forms' taxable lines against the documents of the tax figure, before rounding."""
    title = "Taxable lines (5110.28: 33, 13, 45; 5110.11: 7; 5110.40: 1) are the taxed documents"
    lines = (
        "processing II 33", "processing I 13", "processing II 45", "storage - 7", "production I 1",
    )  # fmt: skip
    on_forms = taxable_on_forms(forms, book)
    return check("taxable", title, on_forms, taxable, kind=INFERRED, lines=lines)


def _by_account(balance: Balance, account: str) -> int:
    return sum(three[2] for (where, _), three in balance.items() if where == account)


def with_last_month(book: MonthBook) -> Iterable[Check]:
    """Opening is what the month before closed with; not so when that month was amended since."""
    if book.closed_before is None:
        return
    # Opening balances typed in this month stand in its opening and in no closing before it.
    for account in SPIRITS:
        before, now = _by_account(book.closed_before, account), _by_account(book.opening, account)
        title = f"Opening of {ACCOUNTS[account].title} is last month's closing"
        if before or now:
            detail = "" if before == now else "that month was amended after it was closed"
            yield check(
                f"opening-{account}", title, before, now, kind=FORM, blocking=False, detail=detail,
            )  # fmt: skip


def with_holdings(held: Balance, book: MonthBook) -> Iterable[Check]:
    """The book against what the vessels are kept to hold, account by account."""
    if book.present is None:
        return
    for account in SPIRITS:
        sums, kept = _by_account(book.present, account), _by_account(held, account)
        wrong = any(
            list(book.present.get(key, (0, 0, 0))) != list(held.get(key, (0, 0, 0)))
            for key in {*book.present, *held} if key[0] == account
        )  # fmt: skip
        title = f"Movements of {ACCOUNTS[account].title} add up to its vessels"
        if sums or kept or wrong:
            yield check(
                f"holdings-{account}", title, sums, kept, kind=LAW, holds=not wrong,
            )  # fmt: skip
