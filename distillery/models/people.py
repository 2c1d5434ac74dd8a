"""Who may do what at which plant."""

from django.conf import settings
from django.db import models

from ledger.models import Premises


class Membership(models.Model):
    """A person's role at one plant."""

    class Role(models.TextChoices):
        OWNER = "owner", "owner: everything"
        OPERATOR = "operator", "operator: records, reverses own same-day entries"
        READER = "reader", "reader: sees and exports"

    user = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="memberships")
    premises = models.ForeignKey(Premises, models.CASCADE, related_name="members")
    role = models.CharField(max_length=10, choices=Role.choices)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["user", "premises"], name="membership_unique")
        ]

    def __str__(self) -> str:
        return f"{self.user} · {self.role}"
