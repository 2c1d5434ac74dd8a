"""How a paper was handed in: what a person says of a filing."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """How a paper was handed in: the day, by whom, the way, and the confirmation number."""

    filed_on: date
    filed_by: str
    how: str
    confirmation: str = ""
    note: str = ""
