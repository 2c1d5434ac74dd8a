"""How Django knows the ground floor."""

from django.apps import AppConfig


class LedgerConfig(AppConfig):
    """The book: premises, vessels, lots, entries, movements and holdings."""

    name = "ledger"
    verbose_name = "Book"
