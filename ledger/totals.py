"""Grouped sums of movements by flow: what closing stores and what every report reads."""

from collections import defaultdict
from datetime import date

from django.db.models import Q, QuerySet, Sum

from ledger.models import FlowTotal, Movement, Period, Premises

Key = tuple[object, ...]
Three = list[int]
GROUP = (
    "from_account", "to_account", "purpose", "from_designation", "to_designation",
    "cooperage", "taxed",
)  # fmt: skip


def grouped(rows: QuerySet[Movement]) -> dict[Key, Three]:
    """Sums of amount, wine gallons and proof gallons of *rows* by GROUP, zero groups left out."""
    query = rows.values_list(*GROUP).annotate(
        Sum("amount"), Sum("wine_gallons"), Sum("proof_gallons")
    )
    return {tuple(row[:-3]): list(row[-3:]) for row in query if any(row[-3:])}


def booked(period: Period) -> QuerySet[Movement]:
    """Movements booked in *period* and amending no other month: the month's own acts."""
    return Movement.objects.filter(period=period, amends=None)


def flows(period: Period | None) -> dict[Key, Three]:
    """The month's sums by flow as they stand now, amendments recorded later included."""
    if period is None:
        return {}
    return grouped(Movement.objects.filter(Q(period=period, amends=None) | Q(amends=period)))


def flows_as_closed(period: Period) -> dict[Key, Three]:
    """The month's own sums as stored at closing."""
    return {
        tuple(row[:-3]): list(row[-3:])
        for row in FlowTotal.objects.filter(period=period).values_list(
            *GROUP, "amount", "wine_gallons", "proof_gallons"
        )
        if any(row[-3:])
    }


def add(into: dict[Key, Three], more: dict[Key, Three]) -> dict[Key, Three]:
    """*into* with the sums of *more* added to it."""
    for key, three in more.items():
        total = into.setdefault(key, [0, 0, 0])
        for place, value in enumerate(three):
            total[place] += value
    return into


def last_closed_before(premises: Premises, month: date) -> Period | None:
    """The newest closed month before *month*."""
    rows = Period.objects.filter(premises=premises, month__lt=month)
    return rows.exclude(state=Period.State.OPEN).order_by("-month").first()


def running_at_closing(period: Period | None) -> dict[Key, Three]:
    """Running sums of all that was booked up to and including the closed *period*."""
    if period is None:
        return {}
    return {
        tuple(row[:-3]): list(row[-3:])
        for row in FlowTotal.objects.filter(period=period).values_list(
            *GROUP, "run_amount", "run_wine_gallons", "run_proof_gallons"
        )
    }


def running_before(premises: Premises, month: date) -> dict[Key, Three]:
    """Running sums of everything that counts before *month*, as it stands now.

    The last closing's stored sums, plus what open months before *month* booked since, plus later
    entries that amend a month before *month*.
    """
    last = last_closed_before(premises, month)
    sums = running_at_closing(last)
    since = Q(period__month__lt=month, amends=None)
    if last:
        since &= Q(period__month__gt=last.month)
    booked_late = Q(amends__month__lt=month)
    if last:
        booked_late &= Q(period__month__gt=last.month)
    mine = Movement.objects.filter(period__premises=premises)
    ids = _period_ids(premises, month, last)
    if ids:
        add(sums, grouped(mine.filter(since, period__in=ids)))
    return add(sums, grouped(mine.filter(booked_late, amends__isnull=False)))


def _period_ids(premises: Premises, month: date, last: Period | None) -> list[int]:
    rows = Period.objects.filter(premises=premises, month__lt=month)
    rows = rows.filter(month__gt=last.month) if last else rows
    return list(rows.values_list("pk", flat=True))


def balances(sums: dict[Key, Three]) -> dict[tuple[str, int | None], Three]:
    """What (account, designation) holds after the running *sums*."""
    held: dict[tuple[str, int | None], Three] = defaultdict(lambda: [0, 0, 0])
    for key, three in sums.items():
        from_account, to_account, _, before, after = key[:5]
        for sign, account, designation in ((-1, from_account, before), (1, to_account, after)):
            total = held[(account, designation)]  # type: ignore[index]
            for place, value in enumerate(three):
                total[place] += sign * value
    return held
