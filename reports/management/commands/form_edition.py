"""``manage.py form_edition``: print a form's edition as data, or add a new one from a file."""

import json
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from ledger.errors import LedgerError
from reports.forms import FORMS, form_for
from reports.forms.as_data import edition_from_data, edition_to_data
from reports.models import AddedEdition


class Command(BaseCommand):
    """A new edition of a form needs no program: print the last, change it, add it."""

    help = "Print the newest edition of a form as JSON, or add one: --add FILE."

    def add_arguments(self, parser: CommandParser) -> None:
        """The form, and the file to add."""
        parser.add_argument("form", help=f"one of {', '.join(FORMS)}")
        parser.add_argument("--add", metavar="FILE", help="JSON as this command prints it")

    def handle(self, *args: Any, **options: Any) -> None:
        """Print or add, or say in a sentence why not."""
        try:
            form = form_for(options["form"])
            if options["add"]:
                self._add(form.slug, Path(options["add"]))
            else:
                edition = max(form.editions, key=lambda one: one.effective)
                text = json.dumps(edition_to_data(edition), indent=1, ensure_ascii=False)
                self.stdout.write(text)
        except LedgerError as error:
            raise CommandError(str(error)) from error

    def _add(self, slug: str, path: Path) -> None:
        try:
            data = json.loads(path.read_text())
        except OSError as error:
            raise CommandError(f"{path} cannot be read: {error.strerror}.") from error
        except ValueError as error:
            raise CommandError(f"{path} is not JSON: {error}.") from error
        edition = edition_from_data(data)
        row, is_new = AddedEdition.objects.get_or_create(
            form=slug, effective=edition.effective,
            defaults={"name": edition.name, "content": data},
        )  # fmt: skip
        if not is_new and row.content != data:
            raise CommandError(f"An edition from {edition.effective:%B %Y} is there already.")
        self.stdout.write(f"{slug}: edition {edition.name} from {edition.effective:%B %Y}.")
