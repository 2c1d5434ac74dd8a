"""The table of all acts: slug to the function that makes one plausible record of it now."""

from collections.abc import Callable
from typing import Any

from tests.distillery.sequences import (
    acts_bottling,
    acts_leaving,
    acts_mash,
    acts_still,
    acts_store,
)
from tests.distillery.sequences.now import Nothing, Now

ACTS: dict[str, Callable[[Now], dict[str, Any]]] = {
    **acts_mash.ACTS, **acts_still.ACTS, **acts_store.ACTS, **acts_bottling.ACTS,
    **acts_leaving.ACTS,
}  # fmt: skip


def make(slug: str, now: Now) -> dict[str, Any] | None:
    """The fields of one record, or None when the plant has nothing for it now."""
    try:
        return ACTS[slug](now)
    except Nothing:
        return None
