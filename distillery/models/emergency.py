"""What only the plant itself can tell for an emergency, and the limits posted in its rooms."""

from django.db import models

from ledger.models import Premises


class EmergencyFact(models.Model):
    """One line of the emergency page: whom to ring, where to meet, how to cut the heat."""

    premises = models.ForeignKey(Premises, models.CASCADE, related_name="emergency_facts")
    what = models.CharField(max_length=60, help_text="like Poison control, or Gas valve")
    told = models.CharField("number or place", max_length=200)
    place = models.PositiveSmallIntegerField(default=0, help_text="0 comes first")

    class Meta:
        ordering = ["place", "pk"]

    def __str__(self) -> str:
        return f"{self.what}: {self.told}"

    @property
    def dialled(self) -> str:
        """The number as a telephone takes it; "" where it is no number."""
        digits = "".join(one for one in self.told if one.isdigit() or one == "+")
        is_number = not any(one.isalpha() for one in self.told) and len(digits) >= 3
        return digits if is_number else ""


class RoomLimit(models.Model):
    """A limit posted in a room, as the fire authority or the plant's papers give it.

    The plant enters its own; none is built in, and nothing here says whether it is kept.
    """

    premises = models.ForeignKey(Premises, models.CASCADE, related_name="room_limits")
    room = models.CharField(max_length=60)
    what = models.CharField("of what", max_length=80, help_text="like spirits in tanks and drums")
    limit = models.CharField(max_length=80, help_text="with its unit, like 240 gal")
    given_by = models.CharField("given by", max_length=120, help_text="who set it, which paper")
    given_on = models.DateField("given on")

    class Meta:
        ordering = ["room", "pk"]

    def __str__(self) -> str:
        return f"{self.room}: {self.what}, {self.limit}"
