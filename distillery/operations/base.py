"""The shape of an operation: a form, a pure plan, and what it keeps beside the book."""

from datetime import datetime
from typing import Any, ClassVar

from distillery.forms import RecordForm
from ledger.models import Entry, Premises
from ledger.plan import Plan

Fields = dict[str, Any]


class Operation:
    """One kind of act. A subclass is one file; the registry finds it by its slug.

    ``plan`` writes nothing and sees the book only through ``look``; the same code serves the
    preview and the posting. A refusal is a ledger.errors.LedgerError whose ``field`` names the
    form field it belongs to.
    """

    slug: ClassVar[str]
    title: ClassVar[str]
    group: ClassVar[str]
    form: ClassVar[type[RecordForm]]
    hazards: ClassVar[tuple[str, ...]] = ()
    # Where the floor offers it: kinds of vessel, accounts held ("" for an empty vessel), and
    # the form field that takes the vessel's code.
    kinds: ClassVar[tuple[str, ...]] = ()
    accounts: ClassVar[tuple[str, ...]] = ()
    vessel_field: ClassVar[str] = ""
    is_rare: ClassVar[bool] = False  # offered after what is done every day
    is_signed: ClassVar[bool] = False  # may post negative quantities
    is_book: ClassVar[bool] = True  # False for readings, which are not entries
    # Said beside the act that records it, where nothing is looked over before.
    kept_at_once: ClassVar[str] = "A reading is kept at once; what is unlikely is asked first."
    owner_only: ClassVar[bool] = False
    needs_reason: ClassVar[bool] = False

    def plan(self, fields: Fields, look: Any) -> Plan:
        """What would move, from the cleaned *fields* and the book as ``look`` shows it."""
        raise NotImplementedError(self.slug)

    def happened_at(self, fields: Fields) -> datetime:
        """When the act counts: as filled in, unless the operation knows better."""
        return fields["at"]

    def names(self, fields: Fields) -> dict[str, Entry]:
        """Entries this act reverses or corrects: ``{"reverses": entry}`` or nothing."""
        return {}

    def takes_back(self, fields: Fields) -> tuple[str, Any] | None:
        """(field, what this act takes back), which not everybody may; None for no such thing."""
        entry = self.names(fields).get("reverses")
        return ("entry", entry) if entry else None

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """Write the operation's own rows, in the same transaction as *entry*."""

    def taken_back(self, entry: Entry) -> None:
        """Undo those rows when *entry* is reversed, in the reversal's transaction."""

    def keep_reading(
        self, fields: Fields, *, premises: Premises, by: str, key: str, form: str
    ) -> Any:
        """Write a reading; only for operations that are not of the book."""
        raise NotImplementedError(self.slug)
