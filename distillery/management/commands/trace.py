"""manage.py trace: a lot, vessel, barrel, case or bottle back to grain and forward to removal."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from distillery.record_lines import printable
from distillery.tracing import told
from distillery.tracing.finding import UnknownCode, choices_for
from distillery.tracing.story import Story
from ledger.models import Premises

FORMATS = {"text": told.as_text, "csv": told.as_csv, "json": told.as_json}


class Command(BaseCommand):
    """The same rows as the page and its file."""

    help = (
        "Trace a lot, vessel, barrel, case (product and number) or bottle code back to every "
        "material and forward to every removal, largest share first."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """What to trace, which way, how much of it, and where to."""
        parser.add_argument("code", nargs="+", help="a code, such as K-40, or VODKA-750 43")
        parser.add_argument("--direction", choices=told.WAYS, help="one way only; else both")
        parser.add_argument("--all", action="store_true", help="also shares under 0.1 %%")
        parser.add_argument("--format", choices=list(FORMATS), default="text")
        parser.add_argument("--output", type=Path, help="file to write; the screen otherwise")
        parser.add_argument("--premises", help="registry number, where there are several plants")

    def handle(self, *args: Any, **options: Any) -> None:
        """Find the lot and tell its trace."""
        premises = self._premises(options["premises"])
        story = self._story(premises, " ".join(options["code"]), whole=options["all"])
        ways = (options["direction"],) if options["direction"] else told.WAYS
        content, path = FORMATS[options["format"]](story, ways), options["output"]
        if not path:
            self.stdout.write(content, ending="")
            return
        try:
            path.write_text(content, encoding="utf-8")
        except OSError as fault:
            raise CommandError(f"The trace was not written: {fault}.") from fault

    def _story(self, premises: Premises, code: str, *, whole: bool) -> Story:
        try:
            found = choices_for(premises, code)
        except UnknownCode as unknown:
            near = f" Near: {', '.join(unknown.near)}." if unknown.near else ""
            raise CommandError(printable(f"{unknown}{near}")) from unknown
        exact = [one for one in found if one.kind == "lot" and one.lot.code == code]
        if len(found) > 1 and len(exact) != 1:
            listed = "\n".join(f"  {one.lot.code}: {one.told}" for one in found)
            raise CommandError(f"“{code}” may mean several lots. Give one of them:\n{listed}")
        one = (exact or found)[0]
        return Story(one.lot, is_whole=whole, case=one.case, has_all_endings=whole)

    def _premises(self, registry: str | None) -> Premises:
        rows = Premises.objects.filter(registry=registry) if registry else Premises.objects.all()
        found = list(rows[:2])
        if not found:
            raise CommandError(f"There is no plant {registry or ''} here.".replace("  ", " "))
        if len(found) > 1:
            raise CommandError("Name the plant with --premises and its registry number.")
        return found[0]
