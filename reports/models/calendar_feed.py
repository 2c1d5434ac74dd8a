"""A private address for the calendar of what is due; only the hash of its secret is kept."""

from hashlib import sha256
from secrets import token_urlsafe

from django.db import models

from distillery.models import Membership


class CalendarFeed(models.Model):
    """One member's feed. Making it anew takes the old address away."""

    member = models.OneToOneField(Membership, models.CASCADE, related_name="calendar_feed")
    secret_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(auto_now=True)

    def __str__(self) -> str:
        return f"calendar of {self.member}"

    @staticmethod
    def hash_of(secret: str) -> str:
        """What is kept of a secret."""
        return sha256(secret.encode()).hexdigest()

    @classmethod
    def make(cls, member: Membership) -> str:
        """A new secret for *member*, told once; the old one no longer opens anything."""
        secret = token_urlsafe(32)
        cls.objects.update_or_create(
            member=member, defaults={"secret_hash": cls.hash_of(secret)}
        )  # fmt: skip
        return secret
