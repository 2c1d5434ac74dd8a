"""manage.py tables: print a table of the gauging manual, each cell with its edition."""

import csv
import io
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from ledger.gauging.pages import TABLES, Table, cell_rows, text_lines


class Command(BaseCommand):
    """Table 1, 4, 5, 6 or 7 of 27 CFR part 30, as text or as CSV with one cell a row."""

    help = "Print a gauging table: printed cells where there are any, computed ones elsewhere."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("number", choices=list(TABLES), help="number of the table")
        parser.add_argument("--format", choices=["text", "csv"], default="text")
        parser.add_argument("--output", type=Path, help="file to write; the screen otherwise")

    def handle(self, *args: Any, **options: Any) -> None:
        whole = TABLES[options["number"]]
        text = as_csv(whole) if options["format"] == "csv" else as_text(whole)
        if not (path := options["output"]):
            self.stdout.write(text, ending="")
            return
        try:
            path.write_text(text, encoding="utf-8", newline="")
        except OSError as fault:
            raise CommandError(f"Table {whole.number} was not written: {fault}.") from fault


def as_csv(whole: Table) -> str:
    """The table's cells as CSV: line, column, figure, edition."""
    sheet = io.StringIO()
    csv.writer(sheet).writerows(cell_rows(whole))
    return sheet.getvalue()


def as_text(whole: Table) -> str:
    """The table's pages as text."""
    return "\n".join(text_lines(whole)) + "\n"
