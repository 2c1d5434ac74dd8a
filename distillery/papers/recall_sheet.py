"""The recall sheet: one page that says what came of a lot, who has it, and what is still here.

No regulation gives it a form. It lists what carries weight, and counts the rest; the whole set
is the CSV of the trace. It is marked with the head of the book's seal, so that a later reader
knows from which state of the book it was made.
"""

from collections.abc import Iterable

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

A_PAGE = 26  # rows of one line that a page holds under four heads
OTHERS = 4  # rows of each list but the removals
FONT, SIZE, PADDING = "Helvetica", 8, 6  # of a cell, points


def recall_sheet(story: Story) -> Paper:
    """The paper of *story*, cut to one page."""
    lot, premises = story.lot, Premises.objects.get(pk=story.lot.premises_id)
    others = [one for one in (_here(story), _bottled(story), _sources(story)) if one]
    room = A_PAGE + OTHERS - sum(len(one.rows) for one in others) + 3 * (3 - len(others))
    parts: list[Part] = [_removed(story, room), *others, Note(_rest(story))]
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


def _table(title: str, heads: dict[str, int], rows: Iterable[tuple[str, ...]]) -> Table:
    """A table whose cells keep to one line each; *heads* with their relative widths."""
    shares = tuple(heads.values())
    fitted = tuple(
        tuple(_fit(cell, share) for cell, share in zip(row, shares, strict=True)) for row in rows
    )
    return Table(title, tuple(heads), fitted, shares)


def _fit(text: str, share: int) -> str:
    """*text* cut to one line of a column that takes *share* per cent of the page."""
    room = WIDTH * share / 100 - PADDING
    if stringWidth(text, FONT, SIZE) <= room:
        return text
    while text and stringWidth(f"{text}…", FONT, SIZE) > room:
        text = text[:-1]
    return f"{text}…"


def _removed(story: Story, room: int) -> Table:
    """Whom to call: a row for each consignee and lot, largest first, and the sum of all."""
    every = by_consignee(story.removals)
    rows = [_removal(one, story) for one in every[:room]]
    if len(every) > room:
        rest = every[room:]
        rows.append(_sum(rest, f"{len(rest):,} more rows, see the file of the trace"))
    heads = {"Consignee": 42, "Lot": 12, "Documents, days": 23, "Bottles": 7, "PG": 8, "Traced": 8}
    return _table("Removed", heads, (*rows, _sum(every, "Total")))


def _removal(one: Removed, story: Story) -> tuple[str, ...]:
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


def _sum(rows: list[Removed], words: str) -> tuple[str, ...]:
    return (
        words, "", f"{sum(len(one.documents) for one in rows):,} removals",
        f"{sum(one.bottles for one in rows):,}",
        _gallons(sum(one.proof_gallons for one in rows)),
        _gallons(sum(one.traced for one in rows)),
    )  # fmt: skip


def _here(story: Story) -> Table | None:
    """What can still be held back, largest first."""
    every = by_lot(story.standing)
    if not every:
        return None
    rows = [_stand(one) for one in every[:OTHERS]]
    left = len(every) - len(rows)
    proof = _gallons(sum(one.proof_gallons for one in every))
    bottles = f"{sum(one.bottles for one in every):,}"
    words = f"Total, with {left:,} lots more" if left else "Total"
    heads = {
        "Lot": 22, "What it is": 28, "Stands in": 22, "Bottles": 8, "PG": 10, "Share": 10,
    }  # fmt: skip
    return _table("Still here: hold", heads, (*rows, (words, "", "", bottles, proof, "")))


def _stand(one: Stands) -> tuple[str, ...]:
    bottles = f"{one.bottles:,}" if one.bottles else ""
    where = ", ".join(one.vessels)
    return (
        one.lot.code, one.lot.name, where, bottles, _gallons(one.proof_gallons),
        percent(one.share),
    )  # fmt: skip


def _bottled(story: Story) -> Table | None:
    """The finished lots with their case numbers (27 CFR 19.490)."""
    every = [one for one in story.descendants if one.lot.is_finished]
    if not every:
        return None
    rows = [_finished(one, story) for one in every[:OTHERS]]
    total = f"{_gallons(sum(one.quantity for one in every))} PG"
    heads = {"Lot on the bottle": 18, "What it is": 32, "Cases": 26, "Traced": 14, "Share": 10}
    words = _count(len(every), len(rows))
    return _table("Bottled from it", heads, (*rows, (words, "", "", total, "")))


def _finished(one: Kin, story: Story) -> tuple[str, ...]:
    cases = story.serials.get(one.lot.pk, "")
    return (one.lot.code, one.lot.name, cases, " ".join(much(one)), percent(one.share))


def _sources(story: Story) -> Table | None:
    """What to ask suppliers about: materials and bought spirits, largest share first."""
    every = [one for one in (*story.sources, *story.packed_with) if _is_bought(story, one)]
    if not every:
        return None
    zone = story.lot.premises.zone
    rows = []
    for one in every[:OTHERS]:
        row = story.origins[one.lot.pk]
        day = f"{row.opened_by.happened_at.astimezone(zone):%Y-%m-%d}"
        quantity = " ".join(much(one))
        rows.append((one.lot.code, one.lot.name, row.producer, day, quantity, percent(one.share)))
    heads = {
        "Lot": 17, "What it is": 23, "From whom": 26, "Day": 11, "How much": 14, "Share": 9,
    }  # fmt: skip
    words = _count(len(every), len(rows))
    return _table("Came from", heads, (*rows, (words, "", "", "", "", "")))


def _is_bought(story: Story, one: Kin) -> bool:
    """A lot that came from no other one."""
    return one.lot.pk not in story.made


def _count(every: int, listed: int) -> str:
    words = f"{every:,} lot{'' if every == 1 else 's'}"
    return f"{words}, {every - listed:,} not listed" if every > listed else words


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
