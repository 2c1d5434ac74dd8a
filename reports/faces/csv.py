"""CSV for a spreadsheet: each table with its heads, an empty row between tables."""

import csv
from collections.abc import Iterable, Sequence
from io import StringIO

from reports.faces.sheet import DASH, Sheet

_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def render(sheets: Sequence[Sheet]) -> bytes:
    """The sheets one under the other; figures without thousands, zero as 0.00."""
    out = StringIO()
    writer = csv.writer(out)
    for sheet in sheets:
        writer.writerows([_words([sheet.title]), *(_words(fact) for fact in sheet.facts), []])
        for table in sheet.tables:
            writer.writerow(_words([table.title]))
            writer.writerow(_words(table.heads))
            for row in table.rows:
                figures = [_plain(cell) for cell in row[table.words :]]
                writer.writerow([*_words(row[: table.words]), *figures])
            writer.writerows([*([*_words([note])] for note in table.notes), []])
        writer.writerows([*([*_words([note])] for note in sheet.notes), [sheet.foot], []])
    return out.getvalue().encode()


def _words(cells: Iterable[str]) -> list[str]:
    """Text that no spreadsheet takes for a formula."""
    return [f"'{cell}" if cell.startswith(_FORMULA) else cell for cell in cells]


def _plain(cell: str) -> str:
    return "0.00" if cell == DASH else cell.replace(",", "") if cell[:1].isdigit() else cell
