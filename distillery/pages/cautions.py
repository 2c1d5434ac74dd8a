"""The cautions that a page shows: at most three lines, or people stop reading."""

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from decimal import Decimal

from distillery.cautions import words_of
from distillery.operations.base import Operation
from distillery.recording import Record
from distillery.run_story import Story
from ledger.models import Premises
from ledger.plan import Plan

MOST = 3
SCALDING_F = Decimal(140)
STRONG_PROOF = 100  # 50 % alcohol by volume
GAP = timedelta(minutes=30)
CAUSTIC = ("caustic", "lye", "alkali", "hydroxide")
WATCHED = ("pressure", "coolant")


def cautions_of(operation: Operation, premises: Premises, first: Sequence[str] = ()) -> list[str]:
    """What the hazards of *operation* say in turn, so that none is crowded out by another.

    *first* are codes of what the figures call for: one line of each leads.
    """
    words = words_of(premises)
    known = [words[code] for code in operation.hazards]
    longest = max(map(len, known), default=0)
    in_turn = [lines[place] for place in range(longest) for lines in known if place < len(lines)]
    return [*(words[code][0] for code in first), *in_turn][:MOST]


def _scalds(record: Record, plan: Plan) -> bool:
    fields = record.fields
    read = [fields.get("strike"), fields.get("rest")]
    read += [row.get("temperature") for row in fields.get("tuns") or []]
    return any(one is not None and one > SCALDING_F for one in read)


def _is_strong(record: Record, plan: Plan) -> bool:
    flowing = (leg for leg in plan.legs if leg.wine_gallons > 0)
    return "ethanol_vapour" in record.operation.hazards and any(
        leg.proof_gallons * 100 >= STRONG_PROOF * leg.wine_gallons for leg in flowing
    )


def _has_caustic(record: Record, plan: Plan) -> bool:
    if record.operation.slug != "clean-vessel":
        return False
    steps = " ".join(step["what"] for step in record.fields["steps"]).lower()
    return any(word in steps for word in CAUSTIC)


OF_A_RECORD: dict[str, Callable[[Record, Plan], bool]] = {
    "scald": _scalds,
    "strong": _is_strong,
    "caustic": _has_caustic,
}


def called_for(record: Record, plan: Plan) -> list[str]:
    """The codes of the cautions that the figures of *record* call for."""
    return [code for code, holds in OF_A_RECORD.items() if holds(record, plan)]


def _is_unread(story: Story, now: datetime) -> bool:
    is_on = bool(story.account) and not story.is_stopped
    since = story.last_read or (story.stops[-1].at if story.stops else story.started)
    return is_on and now - since > GAP


def _was_noted(story: Story, now: datetime) -> bool:
    note = story.last_reading.note.lower() if story.account and story.last_reading else ""
    return any(word in note for word in WATCHED)


OF_A_RUN: dict[str, Callable[[Story, datetime], bool]] = {
    "log_gap": _is_unread,
    "pressure_noted": _was_noted,
}


def called_for_by(story: Story, now: datetime) -> list[str]:
    """The codes of the cautions that a run calls for at this moment."""
    return [code for code, holds in OF_A_RUN.items() if holds(story, now)]
