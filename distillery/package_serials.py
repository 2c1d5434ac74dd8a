"""Numbers and marks of packages filled in processing (27 CFR 19.488, 19.490)."""

from distillery.models import PackageSerials
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Entry, Premises
from ledger.plan import Slip

SERIES = 1_000_000


def printed(number: int) -> str:
    """The mark for the running *number*: 1 to 1,000,000, then again with a letter, A to Z, AA …"""
    letters, rest = "", (number - 1) // SERIES
    while rest:
        rest, place = divmod(rest - 1, 26)
        letters = chr(ord("A") + place) + letters
    return f"{(number - 1) % SERIES + 1}{letters}"


def last_used(premises: Premises) -> int:
    """The last running number that any package here bears, taken back or not."""
    row = PackageSerials.objects.filter(premises=premises).order_by("-last").first()
    return row.last if row else 0


def next_serials(premises: Premises, count: int, *, first: int | None = None) -> tuple[int, int]:
    """(first, last) running numbers for *count* packages. Raises BadFact for a number used."""
    last = last_used(premises)
    if first is not None and first <= last:
        raise BadFact(
            f"Package {printed(first)} was filled before; the last was {printed(last)} "
            "(27 CFR 19.490).",
            field="first",
        )
    start = first or last + 1
    return start, start + count - 1


def told(serials: tuple[int, int]) -> str:
    """``P 1–4``: the letter keeps them apart from the cases."""
    first, last = (printed(number) for number in serials)
    return f"P {first}" if first == last else f"P {first}–{last}"


def keep(entry: Entry, serials: tuple[int, int]) -> None:
    """The numbers, never to be given again."""
    first, last = serials
    PackageSerials.objects.create(
        premises=entry.premises, entry=entry, first=first, last=last
    )  # fmt: skip


def marks(
    look: Look, *, name: str, serials: tuple[int, int], proof: int, formula: str
) -> Slip:  # fmt: skip
    """What is marked on each package filled in processing (27 CFR 19.488)."""
    plant = getattr(look.premises, "plant", None)
    day = look.at.astimezone(look.premises.zone).date()
    rows = [
        ("processor", plant.proprietor if plant else look.premises.name),
        ("plant number", look.premises.registry),
        ("kind", name),
        ("serial numbers", told(serials)),
        ("date of fill", f"{day:%Y-%m-%d}"),
        ("proof", f"{proof / 10:.1f}"),
    ]
    if formula:
        rows.append(("formula", formula))
    return Slip("Marks on each package", tuple(rows))
