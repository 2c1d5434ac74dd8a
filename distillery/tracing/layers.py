"""A layered graph: what stands in which column, in which order, and how the lines run.

Columns follow the stages of the plant; within a column what is tied together is brought near
by the barycentre rule: each node goes to the mean place of its neighbours, a few times over.
"""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass

LAYERS = (
    ("material", "Materials"), ("wash", "Wash"), ("run", "Runs"), ("fraction", "Fractions"),
    ("spirits", "Spirits"), ("batch", "Batches"), ("bottled", "Bottled"), ("out", "Out"),
)  # fmt: skip
ORDER = {stage: index for index, (stage, _) in enumerate(LAYERS)} | {"package": 6}
SWEEPS = 6
WIDTH, HEIGHT = 194, 46  # of a node, in the picture's own units
ACROSS, DOWN = 46, 14  # between columns, between nodes
TOP = 34  # for the heads
MARGIN = 4

Key = Hashable


@dataclass(frozen=True, slots=True)
class Spot:
    """The place of a node: its column, and the left upper corner."""

    column: int
    left: int
    top: int


@dataclass(frozen=True, slots=True)
class Layout:
    """Where all stands; heads are (left, title)."""

    spots: dict[Key, Spot]
    heads: list[tuple[int, str]]
    width: int
    height: int


def layer_of(stage: str) -> int:
    """The layer of a stage; what no layer names stands with the spirits."""
    return ORDER.get(stage, ORDER["spirits"])


def lay_out(stages: Mapping[Key, str], links: Iterable[tuple[Key, Key]]) -> Layout:
    """Places for the nodes of *stages*, in the order given where nothing ties them."""
    columns = _columns(stages)
    near: dict[Key, list[Key]] = defaultdict(list)
    for one, other in links:
        near[one].append(other)
        near[other].append(one)
    rows = _crossing_less(list(columns.values()), near)
    tallest = max(map(len, rows), default=0)
    spots = {}
    for column, keys in enumerate(rows):
        above = (tallest - len(keys)) * (HEIGHT + DOWN) // 2
        for row, key in enumerate(keys):
            top = TOP + above + row * (HEIGHT + DOWN)
            spots[key] = Spot(column, MARGIN + column * (WIDTH + ACROSS), top)
    heads = [
        (MARGIN + column * (WIDTH + ACROSS), LAYERS[layer][1])
        for column, layer in enumerate(columns)
    ]
    width = 2 * MARGIN + len(rows) * (WIDTH + ACROSS) - ACROSS
    # Lines that go round pass under the lowest node.
    return Layout(spots, heads, width, TOP + tallest * (HEIGHT + DOWN) + 2 * DOWN)


def _columns(stages: Mapping[Key, str]) -> dict[int, list[Key]]:
    """Keys by layer, empty layers left out."""
    found: dict[int, list[Key]] = defaultdict(list)
    for key, stage in stages.items():
        found[layer_of(stage)].append(key)
    return {layer: found[layer] for layer in sorted(found)}


def _crossing_less(rows: list[list[Key]], near: Mapping[Key, Sequence[Key]]) -> list[list[Key]]:
    place = {key: _middle(row, keys) for keys in rows for row, key in enumerate(keys)}
    for sweep in range(SWEEPS):
        for keys in rows if sweep % 2 == 0 else reversed(rows):
            means = {key: _mean(key, near, place) for key in keys}
            keys.sort(key=means.__getitem__)  # a stable sort: ties keep their order
            place |= {key: _middle(row, keys) for row, key in enumerate(keys)}
    return rows


def _middle(row: int, keys: Sequence[Key]) -> int:
    """Twice the distance from the column's middle: columns are centred on one another."""
    return 2 * row - len(keys) + 1


def _mean(key: Key, near: Mapping[Key, Sequence[Key]], place: Mapping[Key, int]) -> int:
    neighbours = near.get(key) or (key,)
    # Whole numbers, scaled so that near means stay apart.
    return 1000 * sum(place[one] for one in neighbours) // len(neighbours)


def line(start: Spot, end: Spot, below: int) -> str:
    """The path of a line between two nodes: straight on, or round below when it goes back."""
    middle = HEIGHT // 2
    if end.column > start.column:
        x, y = start.left + WIDTH, start.top + middle
        to_x, to_y = end.left, end.top + middle
        bend = (to_x - x) // 2
        return f"M{x} {y}C{x + bend} {y} {to_x - bend} {to_y} {to_x} {to_y}"
    if end.column == start.column:
        x, y, to_y = start.left + WIDTH, start.top + middle, end.top + middle
        out = x + ACROSS * 2 // 3
        return f"M{x} {y}C{out} {y} {out} {to_y} {x} {to_y}"
    x, y = start.left + WIDTH // 2, start.top + HEIGHT
    to_x, to_y = end.left + WIDTH // 2, end.top + HEIGHT
    depth = min(below, max(y, to_y) + 2 * DOWN)
    return f"M{x} {y}C{x} {depth} {to_x} {depth} {to_x} {to_y}"
