"""How Django knows the top floor."""

from django.apps import AppConfig


class ReportsConfig(AppConfig):
    """The filings: forms, reconciliation and tax."""

    name = "reports"
    verbose_name = "Filings"

    def ready(self) -> None:
        """What was filed, and the rates tax rests on, are as frozen as the book."""
        from ledger.guards import FROZEN

        FROZEN["reports.Filed"] = ()
        FROZEN["reports.EffectiveRate"] = ()
        FROZEN["reports.EligibleContent"] = ()
