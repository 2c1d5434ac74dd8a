"""manage.py demo: record the Marram Point season, show a month, serve it."""

from argparse import ArgumentParser
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.utils import timezone

from distillery.demo.plant import open_log_ins, open_marram_point, owner_of
from distillery.demo.season import season
from ledger.models import Entry, Premises
from ledger.quantities import to_decimal
from reports.month_book import read_book
from reports.month_end import close_month
from reports.reconciliation import AccountRows, reconcile
from reports.season_filings import file_month


class Command(BaseCommand):
    """The season goes through the same door as any record; months are closed and filed in time."""

    help = "Record the invented Marram Point season, print a month's reconciliation, and serve."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """``--no-serve`` stops before serving; ``--address`` says where."""
        parser.add_argument("--no-serve", action="store_true", help="stop before serving")
        parser.add_argument("--address", default="127.0.0.1:8000", help="address and port")

    def handle(self, *args: Any, **options: Any) -> None:
        premises = open_marram_point()
        log_ins = open_log_ins(premises)
        if Entry.objects.filter(premises=premises).exists():
            self.stdout.write("The season is in the book already; it is left as it is.")
        else:
            self._tell(premises)
        premises.refresh_from_db()
        self._reconciliation(premises)
        self.stdout.write("\nMarram Point is invented. Log in as")
        for name, word, role in log_ins:
            self.stdout.write(f"  {name:8} {word}   {role}")
        if options["no_serve"]:
            return
        self.stdout.write(f"\nOpen http://{options['address']}/ and stop with Ctrl-C.\n")
        call_command("runserver", options["address"], use_reloader=False, skip_checks=True)

    def _tell(self, premises: Premises) -> None:
        self.stdout.write("Recording the season", ending="")
        told = season(premises, owner_of(premises), until=timezone.now(), is_under_way=True)
        for month in told:
            owner = owner_of(premises).get_username()
            close_month(premises, month, by=owner)
            file_month(premises, month, by=owner)
            self.stdout.write(f" {month:%b}", ending="")
            self.stdout.flush()
        count = Entry.objects.filter(premises=premises).count()
        self.stdout.write(f": {count} entries.")

    def _reconciliation(self, premises: Premises) -> None:
        month = premises.closed_through
        if month is None:
            return
        self.stdout.write(f"\n{month:%B %Y}, closed. Proof gallons:")
        for account in reconcile(read_book(premises, month)):
            for line in lines_of(account):
                self.stdout.write(line)


def lines_of(account: AccountRows) -> list[str]:
    """An account's rows as ruled text: opening, in, out, closing."""
    heads = ("opening", "in", "out", "closing")
    found = [f"\n  {account.title:40}" + "".join(f"{head:>12}" for head in heads)]
    for row in (*account.rows, account.total):
        figures = (row.opening, row.into, row.out, row.closing)
        shown = "".join(f"{to_decimal(figure):12,.2f}" for figure in figures)
        found.append(f"  {row.title:40}{shown}")
    return found
