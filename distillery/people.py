"""What a person may do, asked in the getter: a view gets the plant for this user or nothing."""

from datetime import datetime
from typing import Any

from distillery.models import Membership, Reading
from distillery.operations.base import Operation
from ledger.models import Entry, Premises

Role = Membership.Role


def membership_for(user: Any) -> Membership | None:
    """The user's plant and role; the first plant when there are several. None for a stranger."""
    rows = Membership.objects.filter(user=user).select_related("premises__plant")
    return rows.order_by("pk").first()


def role_at(user: Any, premises: Premises) -> str:
    """The user's role at *premises*; "" for none."""
    row = Membership.objects.filter(user=user, premises=premises).first()
    return row.role if row else ""


def may_record(role: str, operation: Operation) -> bool:
    """Whether a person of *role* may record *operation* at all."""
    if operation.owner_only:
        return role == Role.OWNER
    return role in (Role.OWNER, Role.OPERATOR)


def may_reverse(role: str, username: str, what: Entry | Reading, now: datetime) -> bool:
    """Owners take back anything; operators only what they recorded themselves the same day."""
    if role == Role.OWNER:
        return True
    zone = what.premises.zone
    same_day = what.recorded_at.astimezone(zone).date() == now.astimezone(zone).date()
    return role == Role.OPERATOR and what.by == username and same_day
