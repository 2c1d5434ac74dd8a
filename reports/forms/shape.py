"""What a government form is made of: lines that name flows, columns that are rules on a lot.

A form is a table, not a program. Every type here is frozen data; reports.filling reads it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from ledger.errors import BadFact

READ = "read"
INFERRED = "inferred"
MEMORY = "memory"
CHECK = "check against the current form"

Facts = Mapping[str, str]
PROOF_GALLONS = "proof_gallons"
WINE_GALLONS = "wine_gallons"


@dataclass(frozen=True, slots=True)
class Rule:
    """A condition on one fact of a lot, or on the leg's cooperage: in *values*, or not."""

    fact: str
    values: tuple[str, ...]
    inside: bool = True

    def holds(self, facts: Facts) -> bool:
        """Whether *facts* meet the rule."""
        return (facts[self.fact] in self.values) == self.inside


@dataclass(frozen=True, slots=True)
class Flow:
    """Movements a line takes: accounts, purposes ("*" is any) and whose lot gives the column.

    ``changes`` takes only legs whose two lots fall in different columns or sources.
    """

    origins: tuple[str, ...]
    ends: tuple[str, ...]
    purposes: tuple[str, ...]
    side: str
    changes: bool = False

    def takes(self, origin: str, end: str, purpose: str) -> bool:
        """Whether a movement of this kind belongs here."""
        any_purpose = self.purposes == ("*",)
        fits = any_purpose or purpose in self.purposes
        return fits and origin in self.origins and end in self.ends


@dataclass(frozen=True, slots=True)
class Column:
    """A column: rules on the lot, the measure it adds up, or the columns it totals."""

    key: str
    caption: str
    where: tuple[Rule, ...] = ()
    measure: str = PROOF_GALLONS
    sums: tuple[str, ...] = ()
    flows: tuple[Flow, ...] = ()


@dataclass(frozen=True, slots=True)
class Line:
    """A line: its number, our short caption, and where its figures come from.

    Exactly one of ``flows``, ``sums``, ``opening``, ``closing`` and ``counted`` fills it (the
    flows may be the column's); none leaves it empty. ``write_in`` opens one row for each
    combination of these facts. ``explain`` prints what the figure is made of. ``printed`` is
    the number on the official form and ``checked`` says that a person compared the line with it.
    """

    number: str
    caption: str
    flows: tuple[Flow, ...] = ()
    where: tuple[Rule, ...] = ()
    sums: tuple[str, ...] = ()
    opening: str = ""
    closing: str = ""
    counted: str = ""
    write_in: tuple[str, ...] = ()
    explain: bool = False
    status: str = READ
    note: str = ""
    printed: str = ""
    checked: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """A part: columns and lines in the form's own order."""

    part: str
    title: str
    columns: tuple[Column, ...]
    lines: tuple[Line, ...]
    status: str = READ
    name_other: str = ""  # the column whose kinds are named in a note

    def line(self, number: str) -> Line:
        """The line with *number*; KeyError when the part has none."""
        return {line.number: line for line in self.lines}[number]


@dataclass(frozen=True, slots=True)
class Edition:
    """An edition of the form and the first month it serves."""

    name: str
    effective: date
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Form:
    """A form of the Alcohol and Tobacco Tax and Trade Bureau, with its editions."""

    slug: str
    number: str
    title: str
    editions: tuple[Edition, ...]
    by_source: bool = False
    notes: tuple[str, ...] = field(default=())

    def edition_for(self, month: date) -> Edition:
        """The newest edition that serves *month*. Raises BadFact before the first."""
        serving = [edition for edition in self.editions if edition.effective <= month]
        if not serving:
            raise BadFact(f"No edition of {self.number} is known for {month:%B %Y}.")
        return max(serving, key=lambda edition: edition.effective)


def flow(origins: str, ends: str, purposes: str, *, side: str, changes: bool = False) -> Flow:
    """A Flow from words in which a bar separates alternatives."""
    from_, to, for_ = (tuple(word.split("|")) for word in (origins, ends, purposes))
    return Flow(from_, to, for_, side=side, changes=changes)


def only(fact: str, values: str) -> tuple[Rule, ...]:
    """A rule that *fact* is one of *values*, separated by bars."""
    return (Rule(fact, tuple(values.split("|"))),)


def other_than(fact: str, values: str) -> tuple[Rule, ...]:
    """A rule that *fact* is none of *values*, separated by bars."""
    return (Rule(fact, tuple(values.split("|")), inside=False),)


def numbers(first: int, last: int) -> tuple[str, ...]:
    """The line numbers from *first* to *last* as the forms write them."""
    return tuple(str(number) for number in range(first, last + 1))
