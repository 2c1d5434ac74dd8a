"""The plant as one drawing: rooms with walls, vessels in their place, level and words beside.

Everything is laid out here in whole pixels; the template only writes it down. The same floor is
laid out for a few widths, so that words stay as large on a phone as on a tablet.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from distillery.drawn_words import cut, width_of, wrapped
from ledger.models import Vessel

WIDTHS = (960, 720, 340)  # a tablet on its side, upright, a phone
CELL_W, EMPTY_H, WORDS_H = 158, 148, 152  # a cell is higher by a line for each of its words
GAP, HEAD, PAD = 12, 34, 6
LINE, CELL_H = 20, 252
LEFT, ROOM = 10, 138  # where the words of a cell begin, and how wide they may run
SIZE, LARGER = 17, 20  # of its words, and of what counts first
SHAPE_H = 84
Spot = tuple[int, int]  # across, down
SMALL, LARGE = 0.62, 1.0  # a shape is drawn between these, by what the vessel holds


@dataclass(frozen=True, slots=True)
class Item:
    """One vessel (or rack of barrels) to draw: its words, at most four lines."""

    vessel: Vessel | None
    kind: str
    code: str
    address: str
    level: int | None
    is_filled: bool
    lines: tuple[str, ...]
    state: str
    needs_hand: bool
    told: str
    name: str = ""  # of what it holds; among its lines the one that may wrap
    size: float = 0.0
    x: int | None = None
    y: int | None = None


@dataclass(frozen=True, slots=True)
class Cell:
    """An item in its place: its top left corner; within it the shape and the words."""

    item: Item
    x: int
    y: int
    shape_x: int
    shape_y: int
    height: int
    scale: str
    code: str
    words: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class Room:
    """A room: its walls and what stands in it."""

    name: str
    x: int
    y: int
    width: int
    height: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """The whole floor at one width."""

    width: int
    height: int
    rooms: tuple[Room, ...]
    name: str


def pictures(rooms: Mapping[str, list[Item]]) -> list[Picture]:
    """The same floor at every width."""
    names = ("wide", "middle", "slim")
    return [picture(rooms, width, name) for width, name in zip(WIDTHS, names, strict=True)]


def picture(rooms: Mapping[str, list[Item]], width: int, name: str = "") -> Picture:
    """Rooms side by side while they fit, then below; each as wide as what stands in it."""
    rows: list[list[int]] = []  # y, height and width taken of each row of rooms
    placed: list[Room] = []
    for title, items in rooms.items():
        spots = _spots(items, width)
        heights: dict[int, int] = {}
        for one, (_, row) in spots:
            heights[row] = max(heights.get(row, EMPTY_H), _height(one))
        high = sum(heights.get(row, EMPTY_H) for row in range(_rows(items, width)))
        wide, high = _columns(items, width) * CELL_W + 2 * PAD, high + HEAD + PAD
        taken = _row_for(rows, wide, high, width)
        placed.append(_room(title, spots, heights, (taken[2], taken[0]), (wide, high)))
        taken[2] += wide + GAP
    height = rows[-1][0] + rows[-1][1] if rows else 0
    return Picture(width, height, tuple(placed), name)


def _row_for(rows: list[list[int]], wide: int, high: int, width: int) -> list[int]:
    """The first row with room left for a room that is no higher; else a new one below."""
    for row in rows:
        if high <= row[1] and row[2] + wide <= width:
            return row
    below = rows[-1][0] + rows[-1][1] + GAP if rows else 0
    rows.append([below, high, 0])
    return rows[-1]


def _columns(items: list[Item], width: int) -> int:
    """Cells across: the whole width when someone placed a vessel there, else as many as needed."""
    most = max(1, (width - 2 * PAD) // CELL_W)
    return most if _is_placed(items) else min(most, len(items))


def _is_placed(items: list[Item]) -> bool:
    return any(one.x is not None and one.y is not None for one in items)


def _rows(items: list[Item], width: int) -> int:
    """Rows of a room; two at least where someone put a vessel in its nearer half."""
    near = any(one.x is not None and (one.y or 0) >= 50 for one in items)
    return max(-(-len(items) // _columns(items, width)), 2 if near else 1)


def _height(item: Item) -> int:
    """How high its cell must be for its words."""
    count = len(_words(item))
    return WORDS_H + LINE * count if count else EMPTY_H


def _spots(items: list[Item], width: int) -> list[tuple[Item, Spot]]:
    """Each item with its column and row."""
    columns, rows = _columns(items, width), _rows(items, width)
    count = columns * rows if _is_placed(items) else len(items)
    return _by_place(items, [(n % columns, n // columns) for n in range(count)], columns, rows)


def _room(
    title: str,
    spots: list[tuple[Item, Spot]],
    heights: Mapping[int, int],
    corner: Spot,
    size: Spot,
) -> Room:
    x, y = corner
    named = cut(title, size[0] - 2 * LEFT, LARGER)
    cells = []
    for one, (column, row) in spots:
        above = sum(heights.get(before, EMPTY_H) for before in range(row))
        at = (x + PAD + column * CELL_W, y + HEAD + above)
        cells.append(_cell(one, at, heights[row]))
    return Room(named, x, y, *size, tuple(cells))


def _by_place(
    items: list[Item], spots: list[Spot], columns: int, rows: int
) -> list[tuple[Item, Spot]]:
    """Each item with the free spot nearest to where it stands; the others fill up in order."""
    free = list(spots)
    found = {}
    for one in (item for item in items if item.x is not None and item.y is not None):
        across = columns * CELL_W * (one.x or 0) // 100 - CELL_W // 2
        down = rows * CELL_H * (one.y or 0) // 100 - CELL_H // 2
        nearest = min(
            free, key=lambda at: (at[0] * CELL_W - across) ** 2 + (at[1] * CELL_H - down) ** 2
        )
        free.remove(nearest)
        found[id(one)] = nearest
    for one in items:
        if id(one) not in found:
            found[id(one)] = free.pop(0)
    return [(one, found[id(one)]) for one in items]


def _cell(item: Item, at: Spot, height: int) -> Cell:
    x, y = at
    scale = SMALL + (LARGE - SMALL) * item.size
    shape_y = 2 * LINE + 8 + int(SHAPE_H - 80 * scale)  # all stand on one line
    first = 2 * LINE + SHAPE_H + 26
    words = tuple((first + LINE * n, text) for n, text in enumerate(_words(item)))
    code = cut(item.code, ROOM - LARGER if item.needs_hand else ROOM, LARGER, bold=True)
    return Cell(
        item, x, y, int(42 - 32 * scale), shape_y, height - GAP, f"{scale:.2f}", code, words
    )  # fmt: skip


def _words(item: Item) -> list[str]:
    """The figure that counts, then the others; a long name takes two lines."""
    figure, *others = item.lines or ("",)
    told = []
    if figure and width_of(figure, LARGER, bold=True) > ROOM:  # its unit goes below
        figure, _, unit = figure.rpartition(" ")
        others.insert(0, unit)
    if figure:
        told.append(cut(figure, ROOM, LARGER, bold=True))
    for text in others:
        told += wrapped(text, ROOM, SIZE, lines=2) if text == item.name else [cut(text, ROOM, SIZE)]
    return told[:5]
