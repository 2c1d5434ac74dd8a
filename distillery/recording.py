"""One road from a record to the book, for pages, tablets, files and the demo alike.

A record is a JSON object: ``operation``, ``at``, ``key``, the operation's fields, and as needed
``by``, ``confirm`` (codes of questions answered yes), ``late``, ``reason``, and ``instead_of``
(the number of the entry that is taken back as this is recorded). ``tablet`` names the plant's
own tablet it was made on and is sealed with the rest; see ``devices``. One without network adds
``made_for``, ``device`` and ``made_at``; see ``from_tablet``.
"""

import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from json import dumps
from typing import Any

from django.utils import timezone

from distillery import instead
from distillery.below_zero import below_zero_question
from distillery.case_questions import case_questions
from distillery.devices import check_named
from distillery.far_from_last import far_question
from distillery.foreshots import foreshots_question
from distillery.forms import RecordForm
from distillery.from_tablet import NAMES, Made, made_of
from distillery.models import BottleCheck, KeptSlip, Reading, ReadingVoid
from distillery.notices import suspension_question
from distillery.operations import operations
from distillery.operations.base import Operation
from distillery.people import may_record, may_reverse, role_at
from distillery.printed_cells import cells_for
from ledger import posting
from ledger.errors import LedgerError, Short
from ledger.gauging.printed_cells import Key, Printed
from ledger.gauging.tables import using
from ledger.looking import Look
from ledger.models import Entry, Premises
from ledger.plan import Plan, Question
from ledger.writing import Act

ENVELOPE = ("operation", "by", "key", "confirm", "late", "reason", "instead_of", "tablet", *NAMES)
FOUND_MORE = "found-more"
WHOLE = "__all__"


class Refused(Exception):
    """A record that cannot be taken: field name (or "__all__") to its sentences."""

    def __init__(self, errors: dict[str, list[str]]) -> None:
        super().__init__("; ".join(self._told(errors)))
        self.errors = errors

    @staticmethod
    def _told(errors: dict[str, list[str]]) -> list[str]:
        return [
            text if name == WHOLE else f"{name}: {text}"
            for name, texts in errors.items()
            for text in texts
        ]


class Asked(Exception):
    """A record that is unlikely: it is taken once its questions are confirmed."""

    def __init__(self, plan: Plan) -> None:
        told = " ".join(f"{question.text} [{question.code}]" for question in plan.questions)
        super().__init__(told)
        self.plan = plan


@dataclass(frozen=True, slots=True)
class Record:
    """A checked record, ready to preview or post."""

    operation: Operation
    form: RecordForm
    premises: Premises
    by: str
    key: str
    text: str
    confirm: tuple[str, ...] = ()
    late: str = ""
    reason: str = ""
    instead_of: Entry | None = None
    made: Made | None = None
    fields: dict[str, Any] = field(default_factory=dict)
    printed: Mapping[Key, Printed] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Done:
    """What came of a record: the entry (or the reading), whether it is new, what was posted."""

    entry: Entry | None
    is_new: bool
    plan: Plan | None
    reading: Any = None


def _has_hidden(text: str) -> bool:
    """Whether *text* holds control or direction characters; line ends of a note are meant."""
    kept = text.translate({10: None, 13: None, 9: None})
    return any(unicodedata.category(character)[0] == "C" for character in kept)


def _hidden(value: Any, path: str = "") -> str:
    """The name of the first value, or name, that holds a hidden character; "" if none does."""
    if isinstance(value, list):
        return next((bad for inner in value if (bad := _hidden(inner, path))), "")
    if isinstance(value, str):
        return (path or "record") if _has_hidden(value) else ""
    if not isinstance(value, dict):
        return ""
    for key, inner in value.items():
        name = f"{path}-{key}" if path else str(key)
        if _has_hidden(str(key)):
            return path or "record"
        if bad := _hidden(inner, name):
            return bad
    return ""


def _refuse(name: str, sentence: str) -> Refused:
    return Refused({name: [sentence]})


def _operation(data: dict[str, Any]) -> Operation:
    slug = data.get("operation")
    known = operations()
    if not isinstance(slug, str) or slug not in known:
        near = get_close_matches(str(slug), known, n=1)
        hint = f" Did you mean “{near[0]}”?" if near else f" One of: {', '.join(known)}."
        raise _refuse("operation", f"There is no operation “{slug}”.{hint}")
    return known[slug]


def _check_names(operation: Operation, data: dict[str, Any]) -> None:
    known = set(operation.form.base_fields) | set(ENVELOPE)
    for name in data:
        if name not in known:
            near = get_close_matches(name, known, n=1)
            hint = f" Did you mean “{near[0]}”?" if near else ""
            raise _refuse(name, f"“{operation.slug}” has no field “{name}”.{hint}")


def _texts(value: Any) -> Any:
    """Numbers as the text they were written in, so that 118.40 stays 118.40."""
    if isinstance(value, dict):
        return {key: _texts(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_texts(inner) for inner in value]
    return value if isinstance(value, str | bool) or value is None else str(value)


def canonical(operation: Operation, data: dict[str, Any]) -> str:
    """The form as filled in, as the one text that is stored and sealed."""
    kept = {name: value for name, value in data.items() if name not in ("by", "key", *NAMES)}
    kept = {name: value for name, value in kept.items() if value not in (None, "", [], {}, False)}
    return dumps({**kept, "operation": operation.slug}, sort_keys=True, ensure_ascii=False)


def prepare(data: dict[str, Any], *, premises: Premises, user: Any) -> Record:
    """Check a record's names, person and fields. Raises Refused with every sentence."""
    if not isinstance(data, dict):
        raise _refuse(WHOLE, "A record is a JSON object with an operation and its fields.")
    try:
        bad = _hidden(data)
    except RecursionError:
        raise _refuse(WHOLE, "This is nested too deeply for a record.") from None
    if bad:
        raise _refuse(bad, "Hidden control characters stand in this text. Type it again.")
    operation = _operation(data)
    _check_names(operation, data)
    role = role_at(user, premises)
    if not may_record(role, operation):
        raise _refuse(WHOLE, f"{user.get_username()} may not record “{operation.title}”.")
    made = _made(data, premises)
    data = _texts(data)
    key, late = str(data.get("key") or ""), str(data.get("late") or "")
    if not key or len(key) > 80:
        raise _refuse("key", "Give the record a key of its own, 80 characters at most.")
    if late and role != "owner":
        raise _refuse("late", "Only the owner books into or for a closed month.")
    reason = str(data.get("reason") or "").strip()
    wants_reason = operation.needs_reason or bool(data.get("instead_of"))
    if len(reason) > 400 or (wants_reason and not reason):
        raise _refuse("reason", "Say why, in 400 characters at most.")
    confirm = data.get("confirm") or []
    confirm = [confirm] if isinstance(confirm, str) else confirm
    fields = {name: value for name, value in data.items() if name not in ENVELOPE}
    form = operation.form(fields, premises=premises)
    printed = cells_for(premises)
    with using(printed):
        is_valid = form.is_valid()
    if not is_valid:
        raise Refused({name: [str(e) for e in errors] for name, errors in form.errors.items()})
    record = Record(
        operation=operation, form=form, premises=premises, by=user.get_username(), key=key,
        text=canonical(operation, data), confirm=tuple(map(str, confirm)), late=late,
        reason=reason, fields=form.cleaned_data, printed=printed, made=made,
    )  # fmt: skip
    _check_reversal(record, role)
    return _instead_of(record, data.get("instead_of"), role)


def _made(data: dict[str, Any], premises: Premises) -> Made | None:
    try:
        check_named(data, premises)
        return made_of(data, premises)
    except LedgerError as error:
        raise _refuse(error.field, str(error)) from error


def _keep_made(record: Record, entry: Entry | None) -> None:
    if record.made:
        record.made.keep(premises=record.premises, key=record.key, by=record.by, entry=entry)


def _check_reversal(record: Record, role: str) -> None:
    taken = record.operation.takes_back(record.fields)
    if taken and not may_reverse(role, record.by, taken[1], timezone.now()):
        raise _refuse(taken[0], "You can take back only what you recorded yourself today.")


def _instead_of(record: Record, number: Any, role: str) -> Record:
    """*record* with the entry it is recorded instead of. Raises Refused."""
    if not number:
        return record
    if not record.operation.is_book or record.operation.is_signed:
        raise _refuse("instead_of", f"“{record.operation.title}” is not recorded instead.")
    try:
        old = instead.entry_for(number, premises=record.premises, role=role, username=record.by)
    except LedgerError as error:
        raise _refuse("instead_of", str(error)) from error
    return replace(record, instead_of=old)


def _plan(record: Record, look: Look) -> Plan:
    """The operation's plan, its gauging done with the plant's own printed cells."""
    with using(record.printed):
        plan = record.operation.plan(record.fields, look)
    asked = far_question(record.operation.slug, plan, look)
    if not record.operation.is_signed:  # what takes back makes nothing
        asked += suspension_question(plan, look)
    reverses = record.operation.names(record.fields).get("reverses")
    asked += below_zero_question(record.late, plan, look, reverses)
    asked += foreshots_question(record.operation.slug, plan, look)
    asked += case_questions(record.operation.slug, record.fields, look)
    return replace(plan, questions=(*plan.questions, *asked)) if asked else plan


def _planner(record: Record) -> Callable[[Look], Plan]:
    return lambda look: _plan(record, look)


def _unanswered(record: Record, plan: Plan) -> tuple[Question, ...]:
    return tuple(q for q in plan.questions if q.code not in record.confirm)


def _told(error: LedgerError, record: Record) -> Refused:
    name = error.field if error.field in record.form.fields else WHOLE
    return _refuse(name, str(error))


def preview(record: Record) -> Plan:
    """What would be posted, with every question it raises. Raises Refused."""
    try:
        return _preview(record, accept_shortage=False)
    except Short as short:
        asked = Question(FOUND_MORE, f"{short} Did you find more than the book has?")
    except LedgerError as error:
        raise _told(error, record) from error
    try:
        plan = _preview(record, accept_shortage=True)
    except LedgerError as error:
        raise _told(error, record) from error
    return replace(plan, questions=(asked, *plan.questions))


def _preview(record: Record, *, accept_shortage: bool) -> Plan:
    if not record.operation.is_book:  # a reading belongs to no month
        return _plan(record, Look.now(record.premises, record.fields["at"]))
    if record.instead_of:
        return instead.preview(
            _planner(record), premises=record.premises, old=record.instead_of,
            happened_at=record.operation.happened_at(record.fields),
            accept_shortage=accept_shortage, late=record.late, reason=record.reason,
        )  # fmt: skip
    return posting.preview(
        _planner(record),
        premises=record.premises,
        happened_at=record.operation.happened_at(record.fields),
        signed=record.operation.is_signed,
        accept_shortage=accept_shortage,
        late=record.late,
        reason=record.reason,
        reverses=record.operation.names(record.fields).get("reverses"),
    )


def _post_reading(record: Record) -> Done:
    plan = preview(record)
    if _unanswered(record, plan):
        raise Asked(replace(plan, questions=_unanswered(record, plan)))
    try:
        reading, is_new = record.operation.keep_reading(
            record.fields, premises=record.premises, by=record.by, key=record.key,
            form=record.text,
        )  # fmt: skip
    except LedgerError as error:
        raise _told(error, record) from error
    _keep_made(record, None)
    return Done(None, is_new, None, reading=reading)


def _asking(record: Record) -> Callable[[Look], Plan]:
    def planner(look: Look) -> Plan:
        plan = _plan(record, look)
        if _unanswered(record, plan):
            raise Asked(replace(plan, questions=_unanswered(record, plan)))
        return plan

    return planner


def post(record: Record, *, previewed: str | None = None) -> Done:
    """Post *record*. Raises Refused, Asked, or ledger.errors.Changed; then nothing is written."""
    operation, fields = record.operation, record.fields
    if not operation.is_book:
        return _post_reading(record)
    names = operation.names(fields)

    def keep(entry: Entry, plan: Plan) -> None:
        KeptSlip.keep(entry, plan.slips)
        _keep_made(record, entry)
        operation.keep(entry, plan, fields)
        if names.get("reverses"):
            taken = operations().get(names["reverses"].operation)
            if taken:
                taken.taken_back(names["reverses"])

    act = Act(
        operation.slug, operation.happened_at(fields), record.by, record.key, record.text,
        reason=record.reason, **names,
    )  # fmt: skip
    try:
        posted = _through_the_door(record, act, previewed, keep)
    except (Asked, Short) as asked:
        # All questions at once, also those that only the whole plan raises.
        plan = preview(record)
        raise Asked(replace(plan, questions=_unanswered(record, plan))) from asked
    except posting.Changed:
        raise
    except LedgerError as error:
        raise _told(error, record) from error
    return Done(posted.entry, posted.is_new, posted.plan)


def _through_the_door(
    record: Record, act: Act, previewed: str | None, keep: Callable[[Entry, Plan], None]
) -> posting.Posted:
    found_more = FOUND_MORE in record.confirm
    if record.instead_of:
        return instead.post(
            _asking(record), premises=record.premises, act=act, old=record.instead_of,
            previewed=previewed, accept_shortage=found_more, late=record.late, keep=keep,
        )  # fmt: skip
    return posting.record(
        _asking(record), premises=record.premises, act=act, previewed=previewed,
        accept_shortage=found_more, late=record.late, signed=record.operation.is_signed, keep=keep,
    )  # fmt: skip


def record(data: dict[str, Any], *, premises: Premises, user: Any) -> Done:
    """Prepare and post in one go, as a file or a queue does."""
    try:
        return post(prepare(data, premises=premises, user=user))
    except (Refused, Asked):
        had = _had_before(data, premises=premises, user=user)
        if had is None:
            raise
        is_entry = isinstance(had, Entry)
        return Done(had if is_entry else None, False, None, reading=None if is_entry else had)


def _had_before(data: dict[str, Any], *, premises: Premises, user: Any) -> Any:
    """What this very record made before: what came after it may be what it is refused for."""
    operation = operations().get(str(data.get("operation"))) if isinstance(data, dict) else None
    if operation is None or not may_record(role_at(user, premises), operation):
        return None
    key, text = str(data.get("key") or ""), canonical(operation, _texts(data))
    for kept in (Entry,) if operation.is_book else (Reading, ReadingVoid, BottleCheck):
        row = kept.objects.filter(premises=premises, key=key).first()
        if row is not None and row.form == text:
            return row
    return None
