"""manage.py tables: print a table of the gauging manual, each cell with its edition."""

import csv
import io
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from distillery.papers import lines
from distillery.printed_cells import cells_for
from ledger.gauging.pages import TABLES, Table, cell_rows, text_lines
from ledger.gauging.tables import using
from ledger.models import Premises


class Command(BaseCommand):
    """Table 1, 4, 5, 6 or 7 of 27 CFR part 30: text, PDF, or CSV with one cell a row."""

    help = (
        "Print a gauging table: the plant's own printed cells and those of the regulation where "
        "there are any, computed ones elsewhere."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Which table, for which plant, how and where."""
        parser.add_argument("number", choices=list(TABLES), help="number of the table")
        parser.add_argument("--format", choices=["text", "csv", "pdf"], default="text")
        parser.add_argument("--output", type=Path, help="file to write; the screen otherwise")
        parser.add_argument("--premises", help="registry number, where there are several plants")

    def handle(self, *args: Any, **options: Any) -> None:
        whole, path = TABLES[options["number"]], options["output"]
        if options["format"] == "pdf" and not path:
            raise CommandError("A PDF goes into a file: give --output.")
        with using(self._cells(options["premises"])):
            content = FORMATS[options["format"]](whole)
        if not path:
            self.stdout.write(content.decode(), ending="")
            return
        try:
            path.write_bytes(content)
        except OSError as fault:
            raise CommandError(f"Table {whole.number} was not written: {fault}.") from fault

    def _cells(self, registry: str | None) -> Any:
        """The printed cells of the plant named, or of the only one there is."""
        rows = Premises.objects.filter(registry=registry) if registry else Premises.objects.all()
        found = list(rows[:2])
        if registry and not found:
            raise CommandError(f"There is no plant {registry} here.")
        if len(found) > 1:
            raise CommandError("Name the plant with --premises and its registry number.")
        return cells_for(found[0]) if found else {}


def as_csv(whole: Table) -> bytes:
    """The table's cells as CSV: line, column, figure, edition."""
    sheet = io.StringIO()
    csv.writer(sheet).writerows(cell_rows(whole))
    return sheet.getvalue().encode()


def as_text(whole: Table) -> bytes:
    """The table's pages as text."""
    return ("\n".join(text_lines(whole)) + "\n").encode()


def as_pdf(whole: Table) -> bytes:
    """The table's pages as PDF, the first line as their title."""
    title, *rest = text_lines(whole)
    return lines.render(title, rest)


FORMATS = {"text": as_text, "csv": as_csv, "pdf": as_pdf}
