"""Cautions that are ticked as seen where the act is dangerous.

What is not ticked is asked once, and then recorded as it is: it happened. The tick stands with
the record's other confirmed questions, with the version of its words, so that it is known who saw
which. A charge above 40 % ABV
is a question of its plan already (``charging.strong_charge``).
"""

from collections.abc import Callable

from distillery import recording, safety
from distillery.cautions import as_said
from distillery.recording import Record
from distillery.safety import Seen
from ledger.plan import Plan

ASKED_ONCE = "asked_once"
UNSEEN = "Tick what you have seen. What is left empty is recorded as it is."


def _went_in(record: Record, plan: Plan) -> bool:
    return bool(record.fields["entered"])


def _opened_still(record: Record, plan: Plan) -> bool:
    return any(leg.purpose == "basket" for leg in plan.legs)  # without a run it is a plain move


DANGEROUS: dict[str, tuple[Callable[[Record, Plan], bool], Seen]] = {
    "clean-vessel": (_went_in, safety.ENTERED),
    "load-basket": (_opened_still, safety.OPENED_STILL),
}


def ticks_of(record: Record, plan: Plan) -> list[Seen]:
    """What is to be ticked before *record*, in the plant's words."""
    asks, seen = DANGEROUS.get(record.operation.slug, (None, None))
    is_asked = asks and seen and asks(record, plan)
    return [as_said(seen, record.premises)] if is_asked and seen else []


def is_unseen(record: Record) -> bool:
    """Whether something of it was left without a tick. Raises Refused as a preview does."""
    if record.operation.slug not in DANGEROUS:
        return False
    seen = ticks_of(record, recording.preview(record))
    return any(one.code not in record.confirm for one in seen)
