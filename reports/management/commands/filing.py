"""``manage.py filing 2026-03``: any filing of a month, without a browser."""

import sys
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from ledger.errors import LedgerError
from ledger.models import Premises
from reports.faces import CONTENT_TYPES
from reports.filing import ASKED, Wanted, month_to_file, render


class Command(BaseCommand):
    """Prints a month's reports and tax figure as worksheets."""

    help = "Print the filings of a month: worksheets to type into the official forms."

    def add_arguments(self, parser: CommandParser) -> None:
        """The month, and which filing how."""
        parser.add_argument("month", help="the month, like 2026-03")
        parser.add_argument(
            "--form", default="", help=f"one of {', '.join(ASKED)}; all but the last if left out"
        )
        parser.add_argument("--format", default="text", help=f"one of {', '.join(CONTENT_TYPES)}")
        parser.add_argument("--output", help="the file to write; else it is printed")
        parser.add_argument("--premises", default="", help="the registry number, if there are more")

    def handle(self, *args: Any, **options: Any) -> None:
        """Write the filing, or say in a sentence why not."""
        try:
            premises = self._premises(options["premises"])
            month = month_to_file(premises, options["month"])
            content = render(premises, month, Wanted(options["form"]), options["format"])
        except LedgerError as error:
            raise CommandError(str(error)) from error
        self._write(content, options["output"], is_text=options["format"] not in ("pdf", "xlsx"))

    def _premises(self, registry: str) -> Premises:
        rows = Premises.objects.order_by("pk")
        found = list(rows.filter(registry=registry) if registry else rows[:2])
        if len(found) == 1:
            return found[0]
        if found:
            raise CommandError("There are several plants here. Name one with --premises.")
        raise CommandError(
            f"There is no plant {registry}." if registry else "There is no plant yet."
        )

    def _write(self, content: bytes, output: str | None, *, is_text: bool) -> None:
        if output:
            try:
                Path(output).write_bytes(content)
            except OSError as error:
                raise CommandError(f"{output} cannot be written: {error.strerror}.") from error
        elif is_text:
            self.stdout.write(content.decode(), ending="")
        else:
            sys.stdout.buffer.write(content)
