"""How Django knows the top floor."""

from django.apps import AppConfig


class ReportsConfig(AppConfig):
    """The filings: forms, reconciliation and tax."""

    name = "reports"
    verbose_name = "Filings"

    def ready(self) -> None:
        """What was filed is as frozen as the book: its rows are never changed."""
        from ledger.guards import FROZEN

        FROZEN["reports.Filed"] = ()
