"""A calculation worked from typed texts, as a page or a terminal gives them."""

import re
from decimal import Decimal

import pytest

from distillery.bench import calculations
from distillery.bench.working import Worked, work
from distillery.recording import Refused


def worked(slug, **typed) -> Worked:
    """The result of the calculation."""
    return work(calculations()[slug], {name: str(text) for name, text in typed.items()})


def figure(slug, name, **typed) -> Decimal:
    """One figure of the result, without its unit."""
    told = dict(worked(slug, **typed).slip.result)[name]
    return Decimal(re.match(r"-?[0-9.,]+", told)[0].replace(",", ""))


def refused(slug, **typed) -> dict[str, list[str]]:
    """The sentences of a refusal by their field."""
    with pytest.raises(Refused) as refusal:
        worked(slug, **typed)
    return refusal.value.errors
