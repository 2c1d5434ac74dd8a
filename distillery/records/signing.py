"""Who signed a record, and the statement in the words prescribed by 27 CFR 19.45."""

from distillery.records.base import Cell, Column
from distillery.records.cells import told
from distillery.records.span import Span
from ledger.models import Entry

SIGNED = (
    Column("signature", "Signed under penalties of perjury"),
    Column("signed_by", "Signed by"),
    Column("signed_title", "Title"),
    Column("signed_on", "Signed on"),
)


def signed(entry: Entry, span: Span) -> dict[str, Cell]:
    """Who signed in the app, where somebody did; blank lines to sign otherwise."""
    form = span.form(entry)
    is_signed = told(form, "statement") is not None
    return {
        "signature": "signed in the book" if is_signed else None,
        "signed_by": told(form, "signer", "counter"),
        "signed_title": told(form, "signer_title", "counter_title"),
        "signed_on": span.day(entry.recorded_at) if is_signed else None,
    }


def statement(document: str) -> str:
    """The statement for a *document* of that type, like ``transfer record``."""
    return (
        f"I declare under the penalties of perjury that this {document}, including supporting "
        "documents, has been examined by me and, to the best of my knowledge and belief, is "
        "true, correct, and complete."
    )
