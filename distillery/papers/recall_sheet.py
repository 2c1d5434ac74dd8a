"""The recall sheet: one page that says what came of a lot, who has it, and what is still here.

No regulation gives it a form. It lists what carries weight, and counts the rest; the whole set
is the CSV of the trace. It is marked with the head of the book's seal, so that a later reader
knows from which state of the book it was made.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils import timezone
from reportlab.pdfbase.pdfmetrics import stringWidth

from distillery.pages.sentences import account_title
from distillery.papers.paper import Note, Paper, Part, Table
from distillery.papers.pdf import WIDTH
from distillery.tracing.story import Story
from distillery.tracing.sums import Removed, Stands, by_consignee, by_lot
from distillery.tracing.told import much, percent, rest_of
from ledger.models import Premises
from ledger.quantities import to_decimal
from ledger.tracing import Kin

A_PAGE = 30  # lines that a page holds under four titles
A_TITLE = 3  # lines that a list not there leaves to the others
LEAST = 4  # rows of each list but the removals, however many those are
REMOVED_HEADS = {
    "Consignee": 42, "Lot": 12, "Documents, days": 23, "Bottles": 7, "PG": 8, "Traced": 8,
}  # fmt: skip
FONT, SIZE, PADDING = "Helvetica", 8, 6  # of a cell, points
Row = tuple[str, ...]


def recall_sheet(story: Story) -> Paper:
    """The paper of *story*, cut to one page."""
    lot, premises = story.lot, Premises.objects.get(pk=story.lot.premises_id)
    lists = [one for one in (_here(story), _bottled(story), _sources(story)) if one.rows]
    page = A_PAGE + A_TITLE * (3 - len(lists))
    removed = [_removal(one, story) for one in by_consignee(story.removals)]
    left = page - sum(_lines(row[0]) for row in removed)
    each = max(LEAST, left // len(lists) - 1) if lists else 0
    others = [one.cut(each) for one in lists]
    room = page - sum(len(one.rows) for one in others)
    parts: list[Part] = [_removed(story, removed, room), *others, Note(_rest(story))]
    number = f"RS-{lot.code}-{premises.last_number}"
    now = timezone.now().astimezone(premises.zone)
    return Paper(
        f"Recall sheet {number}",
        (
            ("Plant", f"{premises.name}, {premises.registry}"),
            ("Traced", f"Lot {lot.code}, {lot.name}"),
            ("Made from the book", f"to entry No. {premises.last_number}, {now:%Y-%m-%d %H:%M %Z}"),
            ("Head of the seal", premises.last_seal),
        ),
        tuple(parts),
        f"{premises.name} · {premises.registry} · {number} · seal {premises.last_seal[:16]}",
    )


@dataclass(frozen=True, slots=True)
class _List:
    """A table before it is cut to the page: all its rows, and the total of all."""

    title: str
    heads: dict[str, int]
    rows: list[Row]
    total: Row

    def cut(self, most: int) -> Table:
        """The first *most* rows and the total, which tells how many are left out."""
        left = len(self.rows) - most
        words = f"{self.total[0]}, {left:,} not listed" if left > 0 else self.total[0]
        return _table(self.title, self.heads, (*self.rows[:most], (words, *self.total[1:])))


def _table(title: str, heads: dict[str, int], rows: Iterable[Row]) -> Table:
    """A table whose cells keep to one line each; *heads* with their relative widths."""
    shares = tuple(heads.values())
    fitted = tuple(
        tuple(_fit(cell, share) for cell, share in zip(row, shares, strict=True)) for row in rows
    )
    return Table(title, tuple(heads), fitted, shares)


def _lines(whom: str) -> int:
    """The lines that a consignee takes: a name with its address may take two."""
    return 1 if _fit(whom, REMOVED_HEADS["Consignee"], lines=1) == whom else 2


def _fit(text: str, share: int, *, lines: int = 0) -> str:
    """*text* cut to the lines of a column that takes *share* per cent of the page."""
    lines = lines or (2 if share == REMOVED_HEADS["Consignee"] else 1)
    # A second line is not filled to its end: words stay whole.
    room = (WIDTH * share / 100 - PADDING) * (lines if lines == 1 else lines - 0.3)
    if stringWidth(text, FONT, SIZE) <= room:
        return text
    while text and stringWidth(f"{text}…", FONT, SIZE) > room:
        text = text[:-1]
    return f"{text}…"


def _removed(story: Story, rows: list[Row], room: int) -> Table:
    """Whom to call: a row for each consignee and lot, largest first, and the sum of all."""
    every = by_consignee(story.removals)
    told: list[Row] = []
    for row in rows:
        room -= _lines(row[0])
        if room < 0:
            break
        told.append(row)
    rest = every[len(told) :]
    if rest:
        told.append(_sum(rest, f"{len(rest):,} more rows, see the file of the trace"))
    return _table("Removed", REMOVED_HEADS, (*told, _sum(every, "Total")))


def _removal(one: Removed, story: Story) -> Row:
    whom = ", ".join(part for part in (one.consignee.name, one.consignee.address) if part)
    zone = story.lot.premises.zone
    first, last = (f"{day.astimezone(zone):%Y-%m-%d}" for day in (one.first, one.last))
    days = first if first == last else f"{first} to {last[5:]}"
    papers = one.documents[0] if len(one.documents) == 1 else f"{len(one.documents)}"
    title = account_title(one.account).removeprefix("removed on ")
    return (
        whom or f"not on record: {title}",
        one.lot.code,
        f"{papers}, {days}",
        f"{one.bottles:,}" if one.bottles else "",
        _gallons(one.proof_gallons),
        _gallons(one.traced),
    )


def _sum(rows: list[Removed], words: str) -> Row:
    return (
        words, "", f"{sum(len(one.documents) for one in rows):,} removals",
        f"{sum(one.bottles for one in rows):,}",
        _gallons(sum(one.proof_gallons for one in rows)),
        _gallons(sum(one.traced for one in rows)),
    )  # fmt: skip


def _here(story: Story) -> _List:
    """What can still be held back, largest first."""
    every = by_lot(story.standing)
    proof = _gallons(sum(one.proof_gallons for one in every))
    bottles = f"{sum(one.bottles for one in every):,}"
    heads = {
        "Lot": 22, "What it is": 28, "Stands in": 22, "Bottles": 8, "PG": 10, "Share": 10,
    }  # fmt: skip
    total = ("Total", "", "", bottles, proof, "")
    return _List("Still here: hold", heads, [_stand(one) for one in every], total)


def _stand(one: Stands) -> Row:
    bottles = f"{one.bottles:,}" if one.bottles else ""
    where = ", ".join(one.vessels)
    return (
        one.lot.code, one.lot.name, where, bottles, _gallons(one.proof_gallons),
        percent(one.share),
    )  # fmt: skip


def _bottled(story: Story) -> _List:
    """The finished lots with their case numbers (27 CFR 19.490)."""
    every = [one for one in story.descendants if one.lot.is_finished]
    total = f"{_gallons(sum(one.quantity for one in every))} PG"
    heads = {"Lot on the bottle": 18, "What it is": 32, "Cases": 26, "Traced": 14, "Share": 10}
    rows = [_finished(one, story) for one in every]
    return _List("Bottled from it", heads, rows, (_count(every), "", "", total, ""))


def _finished(one: Kin, story: Story) -> Row:
    cases = story.serials.get(one.lot.pk, "")
    return (one.lot.code, one.lot.name, cases, " ".join(much(one)), percent(one.share))


def _sources(story: Story) -> _List:
    """What to ask suppliers about: materials and bought spirits, largest share first."""
    every = [one for one in (*story.sources, *story.packed_with) if one.lot.pk not in story.made]
    heads = {
        "Lot": 17, "What it is": 23, "From whom": 26, "Day": 11, "How much": 14, "Share": 9,
    }  # fmt: skip
    rows = [_source(one, story) for one in every]
    return _List("Came from", heads, rows, (_count(every), "", "", "", "", ""))


def _source(one: Kin, story: Story) -> Row:
    row = story.origins[one.lot.pk]
    day = f"{row.opened_by.happened_at.astimezone(story.lot.premises.zone):%Y-%m-%d}"
    quantity = " ".join(much(one))
    return (one.lot.code, one.lot.name, row.producer, day, quantity, percent(one.share))


def _count(every: list[Kin]) -> str:
    return f"{len(every):,} lot{'' if len(every) == 1 else 's'}"


def _rest(story: Story) -> str:
    back, forward = rest_of(story, "back"), rest_of(story, "forward")
    return (
        "A share is the part of a lot that came from the other: by proof gallons, wash by what was "
        "newly distilled, materials among those of one unit. “Traced” is proof gallons times "
        f"share. Left out for little weight: {back:,} lots it came from, {forward:,} it went into; "
        "the file of the trace has all. A removal does not say which cases of a lot went."
    )


def _gallons(hundredths: int) -> str:
    return f"{to_decimal(hundredths):,}"
