"""How Django knows the middle floor."""

from django.apps import AppConfig


class DistilleryConfig(AppConfig):
    """The plant: its settings, operations, readings and screens."""

    name = "distillery"
    verbose_name = "Plant"
