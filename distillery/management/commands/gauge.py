"""manage.py gauge: work a figure of the bench in a terminal; nothing is recorded."""

from argparse import ArgumentParser
from collections.abc import Iterator
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.forms import Field

from distillery.bench import calculations
from distillery.bench.base import Calculation
from distillery.bench.working import work
from distillery.forms import RowsField
from distillery.record_lines import printable
from distillery.recording import WHOLE, Refused
from ledger.plan import Slip

REQUIRED = str(Field.default_error_messages["required"])


class Command(BaseCommand):
    """The same forms, sentences and slips as the pages of the bench."""

    help = (
        "Work out a figure that is not recorded: gauge SLUG name=value ... Without a slug the "
        "calculations are listed, without values the names that one takes. Rows are numbered: "
        "gauge blend lots-0-volume=100 lots-0-proof=120 lots-1-volume=20 lots-1-proof=0."
    )
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The calculation, and what it is worked from."""
        parser.add_argument("slug", nargs="?", help="the calculation, such as true-proof")
        parser.add_argument("values", nargs="*", help="name=value, such as reading=121.4")

    def handle(self, *args: Any, **options: Any) -> None:
        """Print the list, the names, or the slip."""
        if options["slug"] is None:
            self._write(f"{slug}: {one.title}" for slug, one in calculations().items())
            return
        calculation = calculations().get(options["slug"])
        if calculation is None:
            known = ", ".join(calculations())
            raise CommandError(f"No “{printable(options['slug'])}” here; one of: {known}.")
        if not options["values"]:
            self._write(_names(calculation))
            return
        try:
            worked = work(calculation, _typed(calculation, options["values"]))
        except Refused as refusal:
            raise CommandError("\n".join(_sentences(calculation, refusal))) from refusal
        self._write(_told(worked.slip))

    def _write(self, lines: Iterator[str]) -> None:
        for line in lines:
            self.stdout.write(line)


def _typed(calculation: Calculation, values: list[str]) -> dict[str, str]:
    """Names to texts. Raises CommandError for a name that the form does not have."""
    typed = {}
    for one in values:
        name, equals, text = one.partition("=")
        if not equals:
            raise CommandError(f"Give it as name=value: {printable(one)}.")
        if not _is_name(calculation, name):
            known = "; ".join(_names(calculation))
            raise CommandError(f"There is no “{printable(name)}” here; one of: {known}.")
        typed[name] = text
    return typed


def _is_name(calculation: Calculation, name: str) -> bool:
    fields = calculation.form.base_fields
    outer, _, inner = name.partition("-")
    field = fields.get(outer)
    if not isinstance(field, RowsField):
        return name in fields
    number, _, inside = inner.partition("-")
    return number.isdecimal() and inside in field.part.base_fields


def _names(calculation: Calculation) -> Iterator[str]:
    for name, field in calculation.form.base_fields.items():
        if isinstance(field, RowsField):
            for inner, one in field.part.base_fields.items():
                yield f"{name}-0-{inner}: {one.label}"
        else:
            yield f"{name}: {field.label}" + ("" if field.required else " (optional)")


def _sentences(calculation: Calculation, refusal: Refused) -> Iterator[str]:
    fields = calculation.form.base_fields
    for name, texts in refusal.errors.items():
        label = "" if name == WHOLE or name not in fields else f"{fields[name].label}: "
        for text in texts:
            yield label + ("Fill this in." if text == REQUIRED else printable(text))


def _told(slip: Slip) -> Iterator[str]:
    yield slip.title
    yield from (f"  {name}: {value}" for name, value in slip.readings)
    yield from (f"  {number}. {step}" for number, step in enumerate(slip.steps, 1))
    yield from (f"  = {name}: {value}" for name, value in slip.result)
