"""What stands on an entry, and taking all of it back together, newest first, or nothing.

The chain is found by the book itself: what would fall below zero once the entry is gone, and
which later entries took from there; then the same for those.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils import timezone

from distillery.people import may_reverse, role_at
from distillery.recording import Done, Refused, record
from distillery.standing_in_the_way import later_numbers
from ledger.looking import Look
from ledger.models import Entry, Premises
from ledger.moments import shortages
from ledger.plan import Shortage
from ledger.reversing import leg_of, movements_of
from ledger.writing import deltas_of

BOTTLED = frozenset({"finished", "taxpaid"})
TAXED = frozenset({"tax_determined", "sold", "taxpaid_loss", "shortage"})


@dataclass(frozen=True, slots=True)
class Link:
    """One entry of a chain, and why it may not be taken back with the others ("" if it may)."""

    entry: Entry
    blocked: str


@dataclass(frozen=True, slots=True)
class Chain:
    """An entry and all that stands on it, newest first."""

    links: tuple[Link, ...]

    @property
    def numbers(self) -> tuple[int, ...]:
        """The numbers of the entries, newest first."""
        return tuple(link.entry.number for link in self.links)

    @property
    def blocked(self) -> tuple[Link, ...]:
        """The entries that stop it."""
        return tuple(link for link in self.links if link.blocked)

    @property
    def token(self) -> str:
        """What a page shows and hands back, to tell whether the chain is still the same."""
        return "-".join(map(str, self.numbers))


def chain_of(entry: Entry) -> Chain:
    """*entry* and every standing entry that has to go before it, newest first."""
    found = {entry.number: entry}
    while more := _standing_on(entry, found):
        found |= more
    rows = [found[number] for number in sorted(found, reverse=True)]
    return Chain(tuple(Link(row, _why_not(row)) for row in rows))


def _standing_on(first: Entry, found: dict[int, Entry]) -> dict[int, Entry]:
    """The entries not yet *found* that took what taking back the found ones would leave short."""
    numbers = set(
        Entry.objects.filter(corrects__in=list(found.values()), reversed_by=None).values_list(
            "number", flat=True
        )
    )
    numbers |= set(later_numbers(first, _short(first, found)))
    rows = Entry.objects.filter(premises=first.premises, number__in=numbers - found.keys())
    rows = rows.filter(reverses=None, reversed_by=None)
    return {row.number: row for row in rows.select_related("premises", "period", "amends")}


def _short(first: Entry, found: dict[int, Entry]) -> list[Shortage]:
    """The places that would fall below zero, now or later, without the *found* entries."""
    legs = [leg_of(row, sign=-1) for entry in found.values() for row in movements_of(entry)]
    look = Look.now(first.premises, min(entry.happened_at for entry in found.values()))
    falling = {key: sums for key, sums in deltas_of(legs).items() if min(sums) < 0}
    units = {row.code: row.unit for row in look.fetch_lots(key[1] for key in falling)}
    return shortages(falling, look.holdings(falling), units, look.at)


def _why_not(entry: Entry) -> str:
    """Why *entry* is not taken back in a chain; "" when nothing stands against it."""
    closed = entry.premises.closed_through
    if (closed and entry.period.month <= closed) or entry.amends_id:
        return f"{(entry.amends or entry.period).month:%B %Y} is closed"
    rows = list(entry.movements.values_list("from_account", "to_account", "taxed"))
    accounts = {account for origin, to, _ in rows for account in (origin, to)}
    if accounts & TAXED or any(taxed for *_, taxed in rows):
        return "tax was determined on it"
    if accounts & BOTTLED:
        return "it was bottled"
    return ""


def may_take_back(chain: Chain, user: Any) -> bool:
    """Whether *user* may reverse every entry of *chain*."""
    premises = chain.links[0].entry.premises
    role, now = role_at(user, premises), timezone.now()
    name = user.get_username()
    return all(may_reverse(role, name, link.entry, now) for link in chain.links)


def take_back(
    chain: Chain, *, premises: Premises, user: Any, reason: str, key: str,
    made: Mapping[str, str] | None = None,
) -> list[Done]:  # fmt: skip
    """Reverse every entry of *chain*, newest first, in one transaction. Raises Refused.

    *made* is what the envelopes say of where it is done (``devices.made_on``).
    """
    if chain.blocked and len(chain.links) > 1:
        told = "; ".join(f"entry {one.entry.number}: {one.blocked}" for one in chain.blocked)
        raise Refused({"__all__": [f"This chain is not taken back together: {told}."]})
    with transaction.atomic():
        return [
            record(
                {**_reversal_of(link.entry, reason, key), **(made or {})},
                premises=premises,
                user=user,
            )
            for link in chain.links
        ]


def _reversal_of(entry: Entry, reason: str, key: str) -> dict[str, str]:
    """The record of one reversal; the same chain sent twice makes the same record."""
    return {
        "operation": "reverse",
        "entry": str(entry.number),
        "reason": reason,
        "at": entry.happened_at.isoformat(),
        "key": f"{key[:60]}~{entry.number}",
    }
