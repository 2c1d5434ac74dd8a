"""How Django knows the middle floor."""

from django.apps import AppConfig


class DistilleryConfig(AppConfig):
    """The plant: its settings, operations, readings and screens."""

    name = "distillery"
    verbose_name = "Plant"

    def ready(self) -> None:
        """Listen for log-ins; what was read stays as it was read."""
        from distillery import log_ins  # noqa: F401 - models are loaded only now
        from ledger.guards import FROZEN

        FROZEN["distillery.Reading"] = ()
        FROZEN["distillery.StillReading"] = ()
        FROZEN["distillery.ReadingVoid"] = ()
