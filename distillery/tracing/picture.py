"""The trace as a picture: the lots that carry most weight, from materials to removals."""

from collections.abc import Hashable
from dataclasses import dataclass
from decimal import Decimal

from django.urls import reverse

from distillery.pages.sentences import account_title, figure
from distillery.tracing.layers import DOWN, HEIGHT, WIDTH, Layout, lay_out, layer_of, line
from distillery.tracing.story import Story
from distillery.tracing.told import much, percent
from ledger.quantities import to_decimal
from ledger.shares import LotWords
from ledger.tracing import Kin, words_of

EACH_WAY = 26  # nodes back, and nodes forward
A_LAYER = 8  # nodes in one column
LONGEST = 22  # characters of a code in a node
LEAST_PART = Decimal("0.001")  # of a line


@dataclass(frozen=True, slots=True)
class Node:
    """A lot, or an account it went to, with its place."""

    left: int
    top: int
    code: str
    words: str
    title: str
    address: str
    shape: str


@dataclass(frozen=True, slots=True)
class Line:
    """A descent between two nodes; ``goes_back`` for what went round."""

    path: str
    width: str
    goes_back: bool


@dataclass(frozen=True)
class Picture:
    """All that the template draws."""

    nodes: list[Node]
    lines: list[Line]
    layout: Layout
    told: str
    left_out: int

    width, height = WIDTH, HEIGHT


Key = int | str


def picture_of(story: Story) -> Picture:
    """The picture of *story*; lots of little weight are left out and counted."""
    start = words_of(story.lot)
    back = _weighty([*story.sources, *story.packed_with])
    forward = _weighty(story.descendants)
    kept = {start.pk: start} | {one.lot.pk: one.lot for one in (*back, *forward)}
    outs = _outs(story, kept)
    links = _links(story, kept, outs)
    stages: dict[Hashable, str] = {pk: lot.stage for pk, lot in kept.items()}
    layout = lay_out(stages | dict.fromkeys(outs, "out"), [pair[:2] for pair in links])
    nodes = [_start(start, layout)]
    nodes += [_node(one, layout) for one in (*back, *forward)]
    nodes += [_out(account, total, layout) for account, total in outs.items()]
    below = layout.height - DOWN // 2
    lines = [
        Line(
            line(layout.spots[one], layout.spots[other], below), _thick(part),
            layout.spots[other].column < layout.spots[one].column,
        )
        for one, other, part in links
    ]  # fmt: skip
    every = story.back.count + story.forward.count
    return Picture(nodes, lines, layout, _told(story, start), every - len(back) - len(forward))


def _weighty(kin: list[Kin]) -> list[Kin]:
    """The first of *kin*, no column too long."""
    found: list[Kin] = []
    counts: dict[int, int] = {}
    for one in kin:
        layer = layer_of(one.lot.stage)
        counts[layer] = counts.get(layer, 0) + 1
        if counts[layer] <= A_LAYER and len(found) < EACH_WAY:
            found.append(one)
    return found


def _outs(story: Story, kept: dict[int, LotWords]) -> dict[str, int]:
    """Proof gallons of the kept lots by the account they were removed to."""
    found: dict[str, int] = {}
    for gone in story.removals:
        if gone.lot.pk in kept:
            account = gone.ending.account
            found[account] = found.get(account, 0) + gone.ending.proof_gallons
    return found


def _links(
    story: Story, kept: dict[int, LotWords], outs: dict[str, int]
) -> list[tuple[Key, Key, Decimal]]:
    found: dict[tuple[Key, Key], Decimal] = {}
    for one in (*story.back.links, *story.forward.links):
        if one.parent in kept and one.child in kept and one.part >= LEAST_PART:
            found[(one.parent, one.child)] = one.part
    for gone in story.removals:
        if gone.lot.pk in kept and gone.ending.account in outs:
            found[(gone.lot.pk, gone.ending.account)] = Decimal(1)
    return [(one, other, part) for (one, other), part in found.items()]


def _thick(part: Decimal) -> str:
    return f"{1 + 3 * min(part, Decimal(1)):.1f}"


def _short(code: str) -> str:
    return code if len(code) <= LONGEST else f"{code[: LONGEST - 7]}…{code[-6:]}"


def _start(lot: LotWords, layout: Layout) -> Node:
    spot = layout.spots[lot.pk]
    return Node(
        spot.left, spot.top, _short(lot.code), "traced", f"{lot.code}, {lot.name}: traced here",
        reverse("lot", args=[lot.code]), "start",
    )  # fmt: skip


def _node(kin: Kin, layout: Layout) -> Node:
    lot, spot = kin.lot, layout.spots[kin.lot.pk]
    quantity = " ".join(much(kin))
    words = f"{percent(kin.share)} · {quantity}"
    title = f"{lot.code}, {lot.name}, {lot.stage}: {percent(kin.share)}, {quantity}"
    shape = "material" if lot.stage == "material" else "lot"
    return Node(
        spot.left, spot.top, _short(lot.code), words, title,
        reverse("trace-lot", args=[lot.code]), shape,
    )  # fmt: skip


def _out(account: str, total: int, layout: Layout) -> Node:
    spot, title = layout.spots[account], account_title(account)
    quantity = f"{figure(to_decimal(total))} PG"
    short = title.removeprefix("removed on ")
    return Node(spot.left, spot.top, _short(short), quantity, f"{title}: {quantity}", "", "out")


def _told(story: Story, start: LotWords) -> str:
    """The picture in one sentence, for who cannot see it."""
    return (
        f"Lot {start.code} in the middle of what it came from, at the left, and what came of it, "
        f"at the right: {len(story.sources)} lots it came from and {len(story.descendants)} lots "
        "it went into carry weight. The lists below tell the same figures."
    )
