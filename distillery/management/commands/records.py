"""``manage.py records 2026-01-01 2026-03-31 --output DIR``: the record set of some days."""

from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from distillery.papers.record_bundle import CONTENT_TYPES, files_of
from distillery.records import kinds
from distillery.records.base import Kind
from distillery.records.span import Span
from ledger.models import Premises


class Command(BaseCommand):
    """Writes every record of 27 CFR part 19, or those named, each to a file of its own."""

    help = "Write the records of some days, each with its section number, as PDF, CSV or JSON."

    def add_arguments(self, parser: CommandParser) -> None:
        """The days, where to, and which records how."""
        parser.add_argument("first", help="the first day, like 2026-01-01")
        parser.add_argument("last", help="the last day, like 2026-03-31")
        parser.add_argument("--output", required=True, help="the folder to write to")
        parser.add_argument("--only", action="append", default=[], help="a record by its name")
        parser.add_argument(
            "--format", action="append", choices=list(CONTENT_TYPES), help="pdf if left out"
        )
        parser.add_argument("--premises", default="", help="the registry number, if there are more")

    def handle(self, *args: Any, **options: Any) -> None:
        """Write the files, or say in a sentence why not."""
        span = Span(_premises(options["premises"]), *_days(options["first"], options["last"]))
        folder = Path(options["output"])
        wanted = _wanted(options["only"])
        folder.mkdir(parents=True, exist_ok=True)
        count = 0
        for name, content in files_of(wanted, span, options["format"] or ["pdf"]):
            (folder / name).write_bytes(content)
            count += 1
        self.stdout.write(f"{count} file{'' if count == 1 else 's'} in {folder}.")


def _days(first: str, last: str) -> tuple[date, date]:
    try:
        days = date.fromisoformat(first), date.fromisoformat(last)
    except ValueError:
        raise CommandError("Give the days like 2026-01-01 2026-03-31.") from None
    if days[1] < days[0]:
        raise CommandError(f"{last} comes before {first}. Give the first day first.")
    return days


def _wanted(names: list[str]) -> list[Kind]:
    known = kinds()
    for name in names:
        if name not in known:
            raise CommandError(f"There is no record “{name}”; one of {', '.join(known)}.")
    return [known[name] for name in names] if names else list(known.values())


def _premises(registry: str) -> Premises:
    rows = Premises.objects.filter(registry=registry) if registry else Premises.objects.all()
    found = list(rows[:2])
    if not found:
        raise CommandError("There is no such plant here. Open one with open_plant.")
    if len(found) > 1:
        raise CommandError("There are several plants here. Name one with --premises.")
    return found[0]
