"""manage.py cells: take printed cells of the gauging tables from a file."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from distillery.printed_cells import BadCells, import_cells
from ledger.models import Premises


class Command(BaseCommand):
    """All cells of the file or none; each bad line is told with its number."""

    help = (
        "Import printed cells of Tables 1, 4, 5, 6 or 7 from a CSV: a line “source: …”, the head "
        "table,line,column,figure, then a line a cell."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The file, the plant, and whether doubtful figures are kept."""
        parser.add_argument("file", help="the CSV file")
        parser.add_argument("--premises", help="registry number, where there are several plants")
        parser.add_argument(
            "--keep-doubtful", action="store_true", help="keep figures far from the formula"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        premises = self._premises(options["premises"])
        try:
            text = Path(options["file"]).read_text(encoding="utf-8-sig")
            taken = import_cells(premises, text.splitlines(), keep=options["keep_doubtful"])
        except (OSError, UnicodeDecodeError) as error:
            raise CommandError(f"{options['file']} cannot be read: {error}.") from error
        except BadCells as error:
            for line in error.lines:
                self.stderr.write(line)
            raise CommandError("Nothing was taken.") from error
        self.stdout.write(f"{taken} printed cells taken for {premises.registry}.")

    def _premises(self, registry: str | None) -> Premises:
        rows = Premises.objects.filter(registry=registry) if registry else Premises.objects.all()
        found = list(rows[:2])
        if len(found) != 1:
            raise CommandError("Name the plant with --premises and its registry number.")
        return found[0]
