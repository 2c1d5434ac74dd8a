"""How Django knows the top floor."""

from django.apps import AppConfig


class ReportsConfig(AppConfig):
    """The filings: forms, reconciliation and tax."""

    name = "reports"
    verbose_name = "Filings"
