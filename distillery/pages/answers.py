"""The one answer to a record that a tablet sends: taken, already had, or needs a look and why."""

from collections.abc import Iterator
from typing import Any

from distillery import recording
from distillery.from_tablet import clock_question
from distillery.operations import operations
from distillery.record_lines import BadLine, parse
from distillery.recording import WHOLE, Asked, Done, Refused
from ledger.errors import KeyConflict, LedgerError, MonthClosed
from ledger.models import Entry, Premises, Vessel

Answer = dict[str, Any]
OTHERS = "{by} made this record. It is sent when {by} is logged in on this tablet."
ASKS_MORE = (
    "This act asks for the password, and a short code is not enough. Mend it: it opens in its own "
    "form, and is recorded there."
)
BY_OTHERS = "Newest in the book at {vessel}: № {number} {title}, by {by}."


def answer_to(
    line: bytes, *, premises: Premises, user: Any, may_bind: bool = True, tablet_time: str = ""
) -> tuple[Answer, int]:
    """The answer to one record as it came, and the status that goes with it.

    Without *may_bind*, what only the owner records, or books into a closed month, needs a look.
    *tablet_time* is what the tablet's clock said as it sent; one that is far off is asked about.
    """
    try:
        data = parse(line)
    except BadLine as error:
        return look([str(error)]), 400
    except RecursionError:
        return look(["The lists and objects are nested too deep."]), 400
    if data.get("by") not in (None, "", user.get_username()):
        return {"answer": "other", "sentences": [OTHERS.format(by=data["by"])]}, 200
    if not may_bind and _binds(data):
        return look([ASKS_MORE]), 200
    clock = clock_question(data, tablet_time, premises)
    if clock:
        return look([], questions=[{"code": clock.code, "text": clock.text}]), 200
    try:
        return _taken(recording.record(data, premises=premises, user=user)), 200
    except Asked as asked:
        told = [{"code": one.code, "text": one.text} for one in asked.plan.questions]
        newest = _newest(data, premises)
        return look(newest, questions=told), 200
    except Refused as refusal:
        return _refused(refusal, data, premises), 200
    except LedgerError as error:
        return look([str(error), *_newest(data, premises)]), 200


def _binds(data: dict[str, Any]) -> bool:
    known = operations().get(str(data.get("operation")))
    return bool((known and known.owner_only) or data.get("late"))


def look(sentences: list[str], **more: Any) -> Answer:
    """A record that needs a look: its *sentences*, and what else is known of it."""
    return {"answer": "look", "sentences": sentences, "questions": [], **more}


def _taken(done: Done) -> Answer:
    number = done.entry.number if done.entry else None
    return {"answer": "taken" if done.is_new else "had", "entry": number}


def _refused(refusal: Refused, data: dict[str, Any], premises: Premises) -> Answer:
    cause = refusal.__cause__
    is_closed = isinstance(cause, MonthClosed) or "late" in refusal.errors
    newest = [] if is_closed else _newest(data, premises)
    sentences = [*_told(refusal, str(data.get("operation"))), *newest]
    return look(sentences, closed=is_closed, key_used=isinstance(cause, KeyConflict))


def _told(refusal: Refused, slug: str) -> Iterator[str]:
    """Each sentence led by its field's label, as the page has it."""
    fields = operations()[slug].form.base_fields if slug in operations() else {}
    for name, texts in refusal.errors.items():
        label = str(fields[name].label or name) if name in fields else ""
        for text in texts:
            yield f"{label}: {text}" if label and name != WHOLE else text


def _newest(data: dict[str, Any], premises: Premises) -> list[str]:
    """What the book last has at the vessels that *data* names: somebody else may have been there.

    Two tablets without network may each have drawn from the same tank; whoever looks at the
    second has to see the first.
    """
    named = set(_texts(data))
    vessels = Vessel.objects.filter(premises=premises, code__in=named) if named else []
    return [_by_others(entry, vessel) for vessel in vessels for entry in _at(vessel)]


def _at(vessel: Vessel) -> list[Entry]:
    touching = Entry.objects.filter(movements__from_vessel=vessel) | Entry.objects.filter(
        movements__to_vessel=vessel
    )
    return list(touching.filter(premises=vessel.premises_id).distinct().order_by("-number")[:1])


def _by_others(entry: Entry, vessel: Vessel) -> str:
    known = operations().get(entry.operation)
    title = known.title if known else entry.operation
    return BY_OTHERS.format(vessel=vessel.code, number=entry.number, title=title, by=entry.by)


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for inner in value:
            yield from _texts(inner)
    elif isinstance(value, str) and len(value) <= 40:
        yield value
