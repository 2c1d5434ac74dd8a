"""What a paper says, as text: facts, steps and tables under their titles."""

from collections.abc import Iterator
from dataclasses import dataclass

from distillery.devices import by_whom
from distillery.pages.sentences import strength
from distillery.tables import operation_title, states_of
from ledger.models import Entry
from ledger.quantities import to_decimal

BLANK = ""  # printed as an empty rule: not on record
NOT_ASKED = "–"  # the field does not apply to this gauge


@dataclass(frozen=True, slots=True)
class Facts:
    """Names with their values, one under another; a BLANK value is an empty rule."""

    title: str
    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Steps:
    """Numbered sentences."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under heads; ``shares`` are the relative widths, the last row is a total.

    ``row_height`` in points is for rows to be filled in by hand; by their text without it.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    shares: tuple[int, ...]
    row_height: float | None = None


@dataclass(frozen=True, slots=True)
class Note:
    """One sentence in small type."""

    text: str


Part = Facts | Steps | Table | Note


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper: it begins on a page of its own; ``foot`` stands under each."""

    title: str
    facts: tuple[tuple[str, str], ...]
    parts: tuple[Part, ...]
    foot: str


def texts(paper: Paper) -> Iterator[str]:
    """Every text of *paper* in the order it is printed."""
    yield paper.title
    for pair in paper.facts:
        yield from pair
    for part in paper.parts:
        yield from _texts_of(part)
    yield paper.foot


def _texts_of(part: Part) -> Iterator[str]:
    match part:
        case Facts(title, pairs):
            yield title
            for pair in pairs:
                yield from pair
        case Steps(title, lines):
            yield title
            yield from lines
        case Table(title, heads, rows):
            yield title
            yield from heads
            for row in rows:
                yield from row
        case Note(text):
            yield text


def facts_of(entry: Entry) -> tuple[tuple[str, str], ...]:
    """Whose entry it is, which one, when, by whom, and what became of it."""
    premises = entry.premises
    told = [
        ("Plant", premises.name),
        ("Registry", premises.registry),
        ("Entry", f"No. {entry.number}"),
        ("Document", entry.document),
        ("Operation", operation_title(entry.operation)),
        ("Happened", moment(entry, "happened_at")),
        ("Recorded", f"{moment(entry, 'recorded_at')} by {by_whom(entry)}"),
    ]
    told += [("State", state) for state in states_of(entry)]
    return (*told, ("Seal of the entry", entry.seal))


def foot_of(entry: Entry) -> str:
    """The line under each page."""
    premises = entry.premises
    return f"{premises.name} · {premises.registry} · entry No. {entry.number}"


def moment(entry: Entry, name: str) -> str:
    """``happened_at`` or ``recorded_at`` in the plant's own time."""
    return f"{getattr(entry, name).astimezone(entry.premises.zone):%Y-%m-%d %H:%M %Z}"


def day(entry: Entry, name: str = "happened_at") -> str:
    """The plant's date of ``happened_at`` or ``recorded_at``."""
    return f"{getattr(entry, name).astimezone(entry.premises.zone):%Y-%m-%d}"


def proof(tenths: int | None) -> str:
    """Proof without its word; BLANK where none is on record."""
    return strength(tenths).removesuffix(" proof") or BLANK


def gallons(hundredths: int) -> str:
    """Wine or proof gallons to the hundredth."""
    return f"{to_decimal(hundredths):,.2f}"
