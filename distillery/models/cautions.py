"""The plant's own words for a caution."""

from django.core.exceptions import ValidationError
from django.db import models

from distillery.safety import CAUTIONS, SEEN, TRIGGERED
from ledger.models import Premises

MOST, LONGEST = 3, 90  # people stop reading after three short lines (common practice, no source)


class CautionWording(models.Model):
    """One version of a caution's lines; the newest of its code is shown, the older ones stay.

    Without lines the book's own words are shown again.
    """

    premises = models.ForeignKey(Premises, models.CASCADE, related_name="+")
    code = models.CharField(max_length=40, verbose_name="caution")
    lines = models.TextField(
        blank=True,
        help_text="one to three short lines, each on a line of its own; empty for the book's own",
    )
    entered_at = models.DateTimeField(auto_now_add=True)
    entered_by = models.CharField(max_length=150, editable=False)

    class Meta:
        ordering = ["-pk"]
        verbose_name = "wording of a caution"
        verbose_name_plural = "wordings of cautions"

    def __str__(self) -> str:
        known = {**CAUTIONS, **TRIGGERED}.get(self.code)
        return known.title if known else self.code

    def clean(self) -> None:
        """At most three lines of 90 characters; what is ticked is one. Raises ValidationError."""
        lines, most = self.told(), 1 if self.code in SEEN else MOST
        if len(lines) > most:
            count = "one line" if most == 1 else f"{most} lines at most"
            raise ValidationError({"lines": f"Say it in {count}: people stop reading."})
        if any(len(line) > LONGEST for line in lines):
            raise ValidationError({"lines": f"Keep each line to {LONGEST} characters."})

    def told(self) -> tuple[str, ...]:
        """The lines, each trimmed and none empty."""
        return tuple(line for text in self.lines.splitlines() if (line := " ".join(text.split())))
