"""The plant's set-up through Django's admin, for owners; the book is there to look at only."""

from distillery.admin import (
    book,
    cautions,
    emergency,
    formulas,
    instruments,
    lists,
    people,
    plant,
    printed,
    vessels,
)

__all__ = [
    "book",
    "cautions",
    "emergency",
    "formulas",
    "instruments",
    "lists",
    "people",
    "plant",
    "printed",
    "vessels",
]
