"""Editions of the forms a plant adds, and lines it has checked against the official form."""

from django.db import models

from ledger.models import Premises


class AddedEdition(models.Model):
    """An edition of a form given as data, so that a new one needs no program.

    ``content`` is as ``manage.py form_edition`` prints and takes it.
    """

    form = models.CharField(max_length=20)
    name = models.CharField(max_length=40)
    effective = models.DateField(help_text="first day of the first month it serves")
    content = models.JSONField()
    added_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["form", "effective"], name="added_edition_unique")
        ]
        ordering = ["form", "effective"]

    def __str__(self) -> str:
        return f"{self.form} {self.name}"


class CheckedLine(models.Model):
    """A line that a person compared with the official form: its printed number and caption.

    Rows are added, never changed; the newest of a line counts, so a mistake is mended by
    checking the line again.
    """

    premises = models.ForeignKey(Premises, models.PROTECT, related_name="checked_lines")
    form = models.CharField(max_length=20)
    edition = models.CharField(max_length=40)
    part = models.CharField(max_length=10, blank=True)
    line = models.CharField(max_length=10, help_text="the number it has here")
    printed = models.CharField("number on the form", max_length=10)
    caption = models.CharField(max_length=120)
    checked_by = models.CharField(max_length=150)
    checked_on = models.DateField()
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["pk"]
        indexes = [models.Index(fields=["premises", "form", "edition"], name="checked_line")]

    def __str__(self) -> str:
        return f"{self.form} {self.part} {self.printed}"
