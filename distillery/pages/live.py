"""What a half-filled form comes to so far: asked from the plan itself as a person types."""

from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_POST

from distillery import recording
from distillery.forms import RecordForm
from distillery.operations.base import Operation
from distillery.pages import posted
from distillery.pages.beside import Beside, besides_of, room_words
from distillery.pages.people import operation_for, recorder_for
from distillery.plans import slip
from distillery.printed_cells import cells_for
from distillery.recording import WHOLE, Refused
from ledger.gauging import Gauge
from ledger.gauging.tables import using
from ledger.models import Premises
from ledger.plan import Plan, Slip

LEFT_EMPTY = (str(forms.Field.default_error_messages["required"]), "Fill this in.")


@dataclass
class Answer:
    """What is known so far: figures found, sentences to look at, and what still has to come."""

    slips: list[Slip] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    look: list[str] = field(default_factory=list)
    wanting: list[str] = field(default_factory=list)
    is_whole: bool = False


@require_POST
def live(request: HttpRequest, slug: str) -> HttpResponse:
    """A fragment for beside the form; nothing is recorded."""
    member = recorder_for(request)
    operation = operation_for(member, slug)
    data = posted.record_of(operation, request.POST)
    data["key"] = data.get("key") or str(uuid4())
    told: dict[str, Any] = {
        "answer": answer_of(operation, data, member.premises, request.user),
        "besides": _besides(operation, data, member.premises),
    }
    return render(request, "record/live.html", told)


def answer_of(operation: Operation, data: dict[str, Any], premises: Premises, user: Any) -> Answer:
    """The plan's own figures where the form is whole, else those of its finished gauges."""
    try:
        record = recording.prepare(data, premises=premises, user=user)
        plan = recording.preview(record)
    except Refused as refusal:
        return _so_far(operation, data, premises, refusal)
    return _whole(plan, premises)


def _whole(plan: Plan, premises: Premises) -> Answer:
    room, over = room_words(plan, premises)
    asked = [question.text for question in plan.questions]
    return Answer(list(plan.slips), [*plan.lines, *room], [*over, *asked], is_whole=True)


def _so_far(
    operation: Operation, data: dict[str, Any], premises: Premises, refusal: Refused
) -> Answer:
    form: RecordForm = operation.form(posted.fields_of(operation, data), premises=premises)
    with using(cells_for(premises)):
        form.is_valid()
    gauges = [
        slip(value, str(form.fields[name].label))
        for name, value in form.cleaned_data.items()
        if isinstance(value, Gauge)
    ]
    answer = Answer(gauges)
    for name, texts in refusal.errors.items():
        is_filled = name == WHOLE or isinstance(data.get(name), str)
        told = [text for text in texts if not text.endswith(LEFT_EMPTY)]
        label = "" if name not in form.fields else f"{form.fields[name].label}: "
        into = answer.look if is_filled and name != WHOLE else answer.wanting
        into += [f"{label}{text}" for text in told]
    return answer


def _besides(operation: Operation, data: dict[str, Any], premises: Premises) -> list[Beside]:
    return besides_of(codes_in(operation.form.base_fields, data), premises)


def codes_in(fields: dict[str, Any], data: dict[str, Any]) -> list[str]:
    """The codes of the vessels that a record names so far, each once."""
    from distillery.forms import VesselField
    from distillery.forms.parts import PartField

    found: list[str] = []
    for name, asked in fields.items():
        value = data.get(name)
        if isinstance(asked, VesselField) and isinstance(value, str):
            found.append(value)
        elif isinstance(asked, PartField):
            rows = value if isinstance(value, list) else [value]
            for row in rows:
                if isinstance(row, dict):
                    found += codes_in(asked.part.base_fields, row)
    return list(dict.fromkeys(code for code in found if code))
