"""Keep a notice given to the authority; nothing moves, its entry is the copy (27 CFR 19.571(c))."""

from datetime import date

from distillery.forms import ChoiceField, DayField, RecordForm, TextField
from distillery.models import Notice
from distillery.notices import is_short, suspended, told_day
from distillery.operations.base import Fields, Operation
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Entry
from ledger.plan import Plan, Question

Kind = Notice.Kind


class NoticeForm(RecordForm):
    """What the notice is about, from when to when, and how it was given; ``at`` is when."""

    kind = ChoiceField(choices=Kind.choices, label="Notice that")
    effective_from = DayField(label="From the day; for an inventory, the day itself")
    effective_to = DayField(label="Up to and with the day, if it ends by itself")
    how = ChoiceField(choices=Notice.How.choices, label="Given by")
    reference = TextField(max_length=80, label="Reference or confirmation number")
    text = TextField(max_length=400, label="What it says")

    field_order = ("kind", "effective_from", "effective_to", "how", "reference", "text")


class KeepNotice(Operation):
    """A notice is a record the law wants kept; two kinds also change what the plant is asked."""

    slug = "notice"
    title = "Keep a notice"
    group = "Count and correct"
    form = NoticeForm

    def plan(self, fields: Fields, look: Look) -> Plan:
        """No movement; asks about an inventory told too late, and a resumption of nothing."""
        given, first = days_of(fields, look)
        if fields["effective_to"] and fields["effective_to"] < first:
            raise BadFact("It ends before it begins.", field="effective_to")
        span = f" to {told_day(fields['effective_to'])}" if fields["effective_to"] else ""
        about = Kind(fields["kind"]).label
        line = f"Notice given {told_day(given)}: {about}, {told_day(first)}{span}."
        return Plan(lines=(line,), questions=_questions(fields["kind"], given, first, look))

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """The row that lists and looks go by."""
        given, first = days_of(fields, Look(entry.premises, entry.happened_at))
        names = ("kind", "effective_to", "how", "reference", "text")
        Notice.objects.create(
            premises=entry.premises, entry=entry, given_on=given, effective_from=first,
            **{name: fields[name] for name in names},
        )  # fmt: skip

    def taken_back(self, entry: Entry) -> None:
        """The notice no longer counts."""
        Notice.objects.filter(entry=entry).update(is_void=True)


def days_of(fields: Fields, look: Look) -> tuple[date, date]:
    """The plant's day on which it was given, and the first day it is about."""
    given = fields["at"].astimezone(look.premises.zone).date()
    return given, fields["effective_from"] or given


def _questions(kind: str, given: date, first: date, look: Look) -> tuple[Question, ...]:
    if kind == Kind.INVENTORY and is_short(given, first):
        text = (
            f"The inventory of {told_day(first)} is less than five business days after this "
            "notice (27 CFR 19.372). Keep it so?"
        )
        return (Question("short-notice", text),)
    if kind == Kind.RESUMPTION and not suspended(look.premises, first, first):
        text = "No notice that is kept here suspends production on that day. Keep this one?"
        return (Question("not-suspended", text),)
    return ()
