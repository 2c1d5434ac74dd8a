"""How Django knows the ground floor."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate, pre_migrate


class LedgerConfig(AppConfig):
    """The book: premises, vessels, lots, entries, movements and holdings."""

    name = "ledger"
    verbose_name = "Book"

    def ready(self) -> None:
        """Lift the guards for every migration and install them again after it."""
        from ledger import guards

        pre_migrate.connect(guards.lift_before_migrate, sender=self, dispatch_uid="guards")
        post_migrate.connect(guards.install_after_migrate, dispatch_uid="guards")
