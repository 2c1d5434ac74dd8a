"""The plant's shared tablets, and the short codes by which people change places at them."""

from django.conf import settings
from django.db import models

from ledger.models import Premises


class Device(models.Model):
    """A tablet or desk browser that an owner made one of the plant's own.

    Its secret lies in a signed cookie of that browser; kept here is only the secret's SHA-256.
    The name is sealed with each record made on it, so it is set once.
    """

    premises = models.ForeignKey(Premises, models.CASCADE, related_name="devices")
    name = models.CharField(max_length=60, help_text="what people call it, like Still house tablet")
    secret_hash = models.CharField(max_length=64, editable=False)
    registered_at = models.DateTimeField(auto_now_add=True)
    registered_by = models.CharField(max_length=150)
    last_seen = models.DateTimeField(null=True, editable=False)
    revoked_at = models.DateTimeField(null=True, editable=False)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["premises", "name"], name="device_unique")]
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Pin(models.Model):
    """A person's short code for shared tablets, hashed as a password is."""

    user = models.OneToOneField(settings.AUTH_USER_MODEL, models.CASCADE, related_name="pin")
    code_hash = models.CharField(max_length=128)
    set_at = models.DateTimeField()


class PinTries(models.Model):
    """Wrong codes in a row, of one person on one tablet."""

    device = models.ForeignKey(Device, models.CASCADE, related_name="tries")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="pin_tries")
    wrong = models.PositiveSmallIntegerField(default=0)
    lately = models.PositiveSmallIntegerField(
        default=0, help_text="of them, those since a rest as long as the wait"
    )
    last_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["device", "user"], name="pin_tries_unique")]


class KeptForm(models.Model):
    """A form that was sent after the tablet had locked: answered once, or kept for its person.

    It goes a day after it was answered; until then the same form sent again is told so.
    """

    device = models.ForeignKey(Device, models.CASCADE, related_name="kept_forms")
    filled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.SET_NULL, null=True, related_name="kept_forms"
    )
    address = models.TextField(help_text="path and query that it was sent to")
    body = models.TextField(help_text="as a browser sends it")
    kept_at = models.DateTimeField()
    answered_at = models.DateTimeField(null=True)
    answered_by = models.CharField(max_length=150, blank=True)
    led_to = models.TextField(blank=True, help_text="the page that the answer led to")

    def __str__(self) -> str:
        return f"{self.address} kept on {self.device}"
