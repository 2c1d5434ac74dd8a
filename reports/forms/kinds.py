"""The columns by kind of spirits that the production and storage reports share."""

from ledger.classes import CLASSES
from reports.forms.shape import Column, only, other_than

_KEYS = {
    "b": "whisky", "c": "whisky_over_160", "d": "brandy", "e": "brandy_over_170", "f": "rum",
    "g": "gin", "h": "vodka", "i": "spirits_under_190", "j": "spirits_190",
}  # fmt: skip
OTHER = "k"


def kind_columns(*, wine: bool) -> tuple[Column, ...]:
    """Columns b to l of TTB F 5110.40; with *wine*, b to m of TTB F 5110.11.

    What has no column of its own is "other", so that no figure can fall out of the report.
    """
    named = [Column(key, CLASSES[code].title, only("class_code", code)) for key, code in
             _KEYS.items()]  # fmt: skip
    taken = [*_KEYS.values(), *(["wine"] if wine else [])]
    named.append(Column(OTHER, "Other (identify)", other_than("class_code", "|".join(taken))))
    if wine:
        named.append(Column("l", CLASSES["wine"].title, only("class_code", "wine")))
    keys = tuple(column.key for column in named)
    return (*named, Column("m" if wine else "l", "Total", sums=keys))
