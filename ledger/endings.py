"""Where lots ended: every movement out over the plant's boundary, and what still stands.

An entry that was taken back is left out with its reversal; a correction counts with the entry
that it corrects; what came back into bond (27 CFR 19.452) counts against what was removed.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.db.models import Q

from ledger.models import Entry, Holding, Movement
from ledger.models.book import LIVE

# Out of bond to somebody, by 27 CFR 19.611 (tax), 19.403 (in bond), and subpart N (without tax).
REMOVED = (
    "tax_determined", "taxpaid", "other_plant", "us", "hospital", "export", "ftz", "cmw", "cbw",
    "vessels", "research", "sold", "write_in",
)  # fmt: skip
# Gone for good, to nobody who could send it back.
SPENT = ("destroyed", "residue", "loss", "shortage", "taxpaid_loss")
AT_ONCE = 400  # lots asked about in one statement; SQLite takes 999 variables


@dataclass(frozen=True, slots=True)
class Ending:
    """What of one lot left under one entry to one account; integers of the book."""

    lot: int
    entry: Entry
    account: str
    from_account: str
    amount: int
    wine_gallons: int
    proof_gallons: int

    @property
    def is_removal(self) -> bool:
        """Whether somebody else has it, or our own shop; what the shop sold counts once."""
        return self.account in REMOVED and self.from_account != "taxpaid"


@dataclass(frozen=True, slots=True)
class Standing:
    """What of one lot is still in the plant, in one vessel and account."""

    lot: int
    vessel: str
    account: str
    amount: int
    wine_gallons: int
    proof_gallons: int


def endings(lots: Iterable[int]) -> list[Ending]:
    """The endings of *lots*, by the day they happened; what comes to nothing is left out."""
    sums: dict[tuple[int, int, str, str], list[int]] = {}
    entries: dict[int, Entry] = {}
    for part in _parts(lots):
        for row in _movements(part):
            entry = row.entry.corrects or row.entry
            entries[entry.pk] = entry
            sides = (row.to_account, row.from_account)
            is_back = row.purpose == "return"
            account, origin = reversed(sides) if is_back else sides
            key = (int(row.from_lot_id or 0), entry.pk, account, origin)
            total = sums.setdefault(key, [0, 0, 0])
            for index, value in enumerate((row.amount, row.wine_gallons, row.proof_gallons)):
                total[index] += -value if is_back else value
    found = [
        Ending(lot, entries[entry], account, origin, *three)
        for (lot, entry, account, origin), three in sums.items()
        if any(three)
    ]
    return sorted(found, key=lambda one: (one.entry.happened_at, one.entry.number, one.lot))


def _movements(lots: list[int]) -> Iterator[Movement]:
    over = Q(to_account__in=(*REMOVED, *SPENT)) & ~Q(from_account__in=("other_plant", "customs"))
    # Bottles moved about in the own shop have not left it.
    over &= ~Q(from_account="taxpaid", to_account="taxpaid")
    over |= Q(from_account__in=("tax_determined", "taxpaid"), purpose="return")
    stands = Q(entry__reverses=None, entry__reversed_by=None)
    rows = Movement.objects.filter(over, stands, from_lot__in=lots)
    return rows.select_related("entry__corrects").iterator()


def standing(lots: Iterable[int]) -> list[Standing]:
    """What is left of *lots* in the plant, lot by lot."""
    found = []
    for part in _parts(lots):
        rows = Holding.objects.filter(LIVE, lot__in=part).order_by("lot", "vessel__code")
        for row in rows.select_related("vessel"):
            three = (row.amount, row.wine_gallons, row.proof_gallons)
            found.append(Standing(row.lot_id, row.vessel.code, row.account, *three))
    return found


def _parts(lots: Iterable[int]) -> Iterator[list[int]]:
    every = list(lots)
    for start in range(0, len(every), AT_ONCE):
        yield every[start : start + AT_ONCE]
