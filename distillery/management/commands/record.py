"""manage.py record: post a file of records through the same door as the pages."""

import sys
from argparse import ArgumentParser
from contextlib import nullcontext
from pathlib import Path
from typing import Any, BinaryIO

from django.contrib.auth import get_user_model
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from distillery.record_lines import BadLine, lines, parse, printable, with_key
from distillery.recording import Asked, Refused, record
from ledger.errors import LedgerError
from ledger.models import Premises


class Command(BaseCommand):
    """Stops at no line; every bad one is told on stderr with its number."""

    help = (
        "Record a file of JSON Lines: one object a line with operation, at, fields, and as needed "
        "by, key, confirm, late, reason. Running it again changes nothing. A line without a key "
        "gets one from its content, so two equal lines without keys are one record."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The file, the plant, and who records where a line does not say."""
        parser.add_argument("file", help="path of the file; - reads standard input")
        parser.add_argument("--premises", help="registry number; needed when there are several")
        parser.add_argument("--by", help="who records, where a line has no “by”")
        parser.add_argument(
            "--all-or-nothing", action="store_true", help="record nothing if any line is bad"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Record every line and tell how many were taken."""
        self.premises = one_premises(options["premises"])
        self.by = options["by"]
        self.people: dict[str, Any] = {}
        self.counts = {"new": 0, "known": 0, "bad": 0}
        whole = options["all_or_nothing"]
        with transaction.atomic() if whole else nullcontext():
            self._record_all(options["file"])
            if whole and self.counts["bad"]:
                transaction.set_rollback(True)
        self._sum_up(undone=bool(whole and self.counts["bad"]))

    def _record_all(self, name: str) -> None:
        if name == "-":
            self._record_stream(sys.stdin.buffer)
            return
        try:
            with Path(name).open("rb") as stream:
                self._record_stream(stream)
        except OSError as error:
            raise CommandError(f"{name}: {error.strerror}.") from error

    def _record_stream(self, stream: BinaryIO) -> None:
        for number, line in lines(stream):
            try:
                is_new = self._record_line(line)
            except (BadLine, Refused, Asked, LedgerError) as error:
                self.counts["bad"] += 1
                self.stderr.write(f"line {number}: {printable(str(error))}")
            else:
                self.counts["new" if is_new else "known"] += 1

    def _record_line(self, line: bytes | None) -> bool:
        """Record one line; whether it is new."""
        try:
            data = with_key(parse(line))
            return record(data, premises=self.premises, user=self._person(data)).is_new
        except RecursionError as error:
            raise BadLine("The lists and objects are nested too deep.") from error

    def _person(self, data: dict[str, Any]) -> Any:
        name = data.get("by") or self.by
        if not isinstance(name, str):
            raise BadLine("Say who records: “by” in the line, or --by for the file.")
        if name not in self.people:
            person = get_user_model().objects.filter(username=name, is_active=True).first()
            if person is None:
                raise BadLine(f"There is no person “{name}” here.")
            self.people[name] = person
        return self.people[name]

    def _sum_up(self, *, undone: bool) -> None:
        new, known, bad = self.counts.values()
        if undone:
            raise CommandError(f"Nothing was recorded: {bad:,} need a look.")
        told = f"{new:,} recorded, {known:,} already had, {bad:,} need a look."
        if bad:
            raise CommandError(told)
        self.stdout.write(told)


def one_premises(registry: str | None) -> Premises:
    """The plant with *registry*, or the only one. Raises CommandError."""
    rows = Premises.objects.filter(registry=registry) if registry else Premises.objects.all()
    found = list(rows[:2])
    if len(found) == 1:
        return found[0]
    if registry:
        raise CommandError(f"There is no plant {registry} here.")
    raise CommandError(
        "Name the plant with --premises."
        if found
        else "There is no plant yet: open_plant makes one."
    )
