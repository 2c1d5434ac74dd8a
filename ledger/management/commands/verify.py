"""manage.py verify: walk the chain and rebuild all that is kept beside the movements."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from ledger.models import Premises
from ledger.verifying import verify


class Command(BaseCommand):
    """Exit with an error that names the wrong entry or row when anything differs."""

    help = "Check every seal, and holdings, descents and totals against the movements."

    def handle(self, *args: Any, **options: Any) -> None:
        faults = 0
        for premises in Premises.objects.order_by("registry"):
            report = verify(premises)
            faults += len(report.faults)
            for fault in report.faults:
                self.stderr.write(f"{premises.registry}: {fault}")
            self.stdout.write(
                f"{premises.registry}: {report.entries} entries, {report.movements} movements, "
                f"head {premises.last_seal[:16] or 'none'}, "
                f"{len(report.faults) or 'no'} fault{'' if len(report.faults) == 1 else 's'}."
            )
        if faults:
            raise CommandError("The book does not verify.")
