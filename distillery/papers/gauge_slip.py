"""The gauge slip of an entry: what was read, each step, what came out, who and when."""

from collections.abc import Sequence

from distillery.papers.gauge_record import has_gauge_record
from distillery.papers.paper import Facts, Note, Paper, Part, Steps, facts_of, foot_of
from ledger.models import Entry
from ledger.plan import Slip

HOW_TO_FOLLOW = (
    "Each step names the table, cell or factor it used and the edition of it. Numbers are carried "
    "to the next step as they stand in the step, rounded half up."
)


def gauge_slip(entry: Entry, slips: Sequence[Slip]) -> Paper:
    """The paper of *slips*, which were kept with *entry* when it was posted."""
    parts: list[Part] = [Note(HOW_TO_FOLLOW)]
    for slip in slips:
        parts += _parts(slip)
    if has_gauge_record(entry):
        parts.append(Note(f"What each container took is told on gauge record {entry.document}."))
    return Paper("Gauge slip", facts_of(entry), tuple(parts), foot_of(entry))


def _parts(slip: Slip) -> list[Part]:
    return [
        Facts(f"{slip.title}: readings", slip.readings),
        Steps(f"{slip.title}: steps", slip.steps),
        Facts(f"{slip.title}: result", slip.result),
    ]
