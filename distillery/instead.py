"""An act recorded instead of an entry: that is taken back and this recorded, as one."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from json import dumps
from typing import Any
from uuid import uuid4

from django.utils import timezone

from distillery.operations import operations
from distillery.people import may_reverse
from distillery.standing_in_the_way import told_numbers
from ledger.errors import BadFact, LedgerError
from ledger.models import Entry, Premises
from ledger.plan import Plan
from ledger.posting import Planner, Posted
from ledger.replacing import StandsOn, record_instead, rehearse_instead
from ledger.reversing import entry_numbered
from ledger.writing import Act

REVERSE = "reverse"
FIELD = "instead_of"
KEY_ROOM = 75  # of the 80 characters of a key, so that the reversal's can be told from it
WAY_ROUND = (
    "Take all of it back together from the page of that entry, or correct the one figure by the "
    "difference."
)


def entry_for(number: Any, *, premises: Premises, role: str, username: str) -> Entry:
    """The entry to record instead of. Raises a LedgerError when it is none, or not theirs."""
    text = str(number).strip()
    if not text.isdecimal():
        raise BadFact("Give the number of the entry.", field=FIELD)
    entry = entry_numbered(premises, int(text))
    if not may_reverse(role, username, entry, timezone.now()):
        raise BadFact("You can take back only what you recorded yourself today.", field=FIELD)
    return entry


def _acts(act: Act, old: Entry) -> tuple[Act, Act]:
    """The reversal, dated as what it takes back, and the act itself."""
    form = {"entry": str(old.number), "operation": REVERSE, "reason": act.reason}
    back = Act(
        REVERSE, old.happened_at, act.by, f"{act.key[:KEY_ROOM]}~back",
        dumps(form, sort_keys=True, ensure_ascii=False),
        reason=act.reason, reverses=old,
    )  # fmt: skip
    return back, act


def _keep_back(old: Entry) -> None:
    taken = operations().get(old.operation)
    if taken:
        taken.taken_back(old)


def post(
    planner: Planner,
    *,
    premises: Premises,
    act: Act,
    old: Entry,
    previewed: str | None,
    accept_shortage: bool,
    late: str,
    keep: Callable[[Entry, Plan], None],
) -> Posted:
    """Post both entries. Raises what posting.record raises; StandsOn names the way round."""
    back, act = _acts(act, old)
    try:
        return record_instead(
            planner, premises=premises, back=back, act=act, previewed=previewed,
            accept_shortage=accept_shortage, late=late, keep_back=_keep_back, keep=keep,
        )  # fmt: skip
    except StandsOn as error:
        raise _with_the_way(error) from error


def preview(
    planner: Planner,
    *,
    premises: Premises,
    happened_at: datetime,
    old: Entry,
    accept_shortage: bool,
    late: str,
    reason: str,
) -> Plan:
    """What post would write; rehearsed under the lock and undone."""
    act = Act("preview", happened_at, "", f"~{uuid4()}", "{}", reason=reason)
    back, act = _acts(act, old)
    try:
        plan = rehearse_instead(
            planner, premises=premises, back=back, act=act, accept_shortage=accept_shortage,
            late=late, keep_back=_keep_back,
        )  # fmt: skip
    except StandsOn as error:
        raise _with_the_way(error) from error
    told = f"Takes back entry {old.number} and records this instead."
    return replace(plan, lines=(told, *plan.lines))


def _with_the_way(error: StandsOn) -> LedgerError:
    by = told_numbers(error.entry, error.shortages)
    return BadFact(f"{error}{by} {WAY_ROUND}", field=FIELD)
