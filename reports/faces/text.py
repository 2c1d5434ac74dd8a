"""Plain text for a terminal: every line of the form, and the columns that hold anything."""

from collections.abc import Sequence

from reports.faces.sheet import DASH, Sheet, Table

WIDEST_WORDS = 76


def render(sheets: Sequence[Sheet]) -> bytes:
    """The sheets one under the other."""
    return ("\n\n".join(_sheet(sheet) for sheet in sheets) + "\n").encode()


def _sheet(sheet: Sheet) -> str:
    facts = "\n".join(f"{name}: {value}" for name, value in sheet.facts)
    blocks = [sheet.title, "=" * len(sheet.title), facts]
    for table in sheet.tables:
        blocks += ["", _table(table)]
    return "\n".join([*blocks, "", *sheet.notes, sheet.foot])


def _table(table: Table) -> str:
    kept = [n for n in range(len(table.heads)) if n < table.words or _holds(table, n)]
    kept = kept if len(kept) > table.words else list(range(len(table.heads)))
    heads = [_clip(_short(table.heads[n], n, table)) for n in kept]
    rows = [[_clip(row[n]) for n in kept] for row in table.rows]
    widths = [max(map(len, column)) for column in zip(heads, *rows, strict=True)]
    lines = [table.title, _line(heads, widths, table.words), "-" * (sum(widths) + 2 * len(widths))]
    lines += [_line(row, widths, table.words) for row in rows]
    left_out = len(table.heads) - len(kept)
    named = [table.heads[n] for n in kept if n >= table.words]
    notes = [head for head in named if head not in heads] + [*table.notes]
    if left_out:
        notes.append(f"{left_out} column{'s' * (left_out > 1)} without a figure left out.")
    return "\n".join([*lines, *notes])


def _short(head: str, place: int, table: Table) -> str:
    """A column of figures is headed by its letter alone where the caption is long."""
    key, _, caption = head.partition(") ")
    is_lettered = place >= table.words and caption and head.startswith("(")
    return f"{key})" if is_lettered and len(caption) > 14 else head


def _holds(table: Table, place: int) -> bool:
    return any(row[place] not in ("", DASH) for row in table.rows)


def _clip(text: str) -> str:
    return text if len(text) <= WIDEST_WORDS else f"{text[: WIDEST_WORDS - 1]}…"


def _line(cells: Sequence[str], widths: Sequence[int], words: int) -> str:
    padded = [
        cell.ljust(width) if place < words else cell.rjust(width)
        for place, (cell, width) in enumerate(zip(cells, widths, strict=True))
    ]
    return "  ".join(padded).rstrip()
