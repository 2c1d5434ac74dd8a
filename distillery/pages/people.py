"""The getters of every view: the plant for this person, or a refusal."""

from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest

from distillery.context import member_of
from distillery.models import Membership
from distillery.operations import operations
from distillery.operations.base import Operation
from distillery.people import may_record
from ledger.models import Entry, Lot, Premises, Vessel


def member_for(request: HttpRequest) -> Membership:
    """The person's membership. Raises Http404 for a stranger."""
    member = member_of(request)
    if member is None:
        raise Http404("No plant for this person.")
    return member


def recorder_for(request: HttpRequest) -> Membership:
    """The membership of a person who records. Raises Http404, or PermissionDenied for a reader."""
    member = member_for(request)
    if member.role == Membership.Role.READER:
        raise PermissionDenied("Readers see everything and record nothing.")
    return member


def operation_for(member: Membership, slug: str) -> Operation:
    """The operation. Raises Http404 for an unknown one, PermissionDenied for one not theirs."""
    operation = operations().get(slug)
    if operation is None:
        raise Http404("No such operation.")
    if not may_record(member.role, operation):
        raise PermissionDenied(f"“{operation.title}” is for the plant's owner.")
    return operation


def operations_for(member: Membership) -> list[Operation]:
    """What this person may record, in the order of the registry."""
    return [one for one in operations().values() if may_record(member.role, one)]


def _one(rows: Any) -> Any:
    row = rows.first()
    if row is None:
        raise Http404("Nothing of that name at this plant.")
    return row


def vessel_for(premises: Premises, code: str) -> Vessel:
    """The plant's vessel with its sheets. Raises Http404."""
    rows = Vessel.objects.filter(premises=premises, code=code)
    return _one(rows.select_related("sheet", "barrel"))


def lot_for(premises: Premises, code: str) -> Lot:
    """The plant's lot with its facts. Raises Http404."""
    rows = Lot.objects.filter(premises=premises, code=code)
    return _one(rows.select_related("designation", "opened_by"))


def entry_for(premises: Premises, number: int) -> Entry:
    """The plant's entry with what it reverses, corrects and was reversed by. Raises Http404."""
    rows = Entry.objects.filter(premises=premises, number=number)
    return _one(
        rows.select_related("premises", "period", "amends", "reverses", "corrects", "reversed_by")
    )
