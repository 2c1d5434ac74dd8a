"""The bottlings that stood open or were closed in a span, with all that belongs to them."""

from functools import cached_property

from distillery.models import BottlingRun, CaseSerials, KeptSlip
from distillery.records.span import ENTRY, KIN, LOTS, VESSELS, Span
from ledger.models import Movement
from ledger.plan import Slip

ACTS = tuple(f"{act}__{name}" for act in ("opened_by", "closed_by") for name in KIN)


class Runs:
    """The bottlings that stood open or were closed in a span, with all that belongs to them."""

    def __init__(self, span: Span) -> None:
        self.span = span

    @cached_property
    def runs(self) -> list[BottlingRun]:
        """In the order in which they were opened."""
        rows = BottlingRun.objects.filter(premises=self.span.premises)
        rows = rows.filter(opened_by__happened_at__lt=self.span.end)
        rows = rows.select_related("product", "vessel", *ACTS)
        return [
            run
            for run in rows.order_by("opened_by__happened_at", "pk")
            if run.closed_by is None or run.closed_by.happened_at >= self.span.start
        ]

    @cached_property
    def movements(self) -> dict[str, list[Movement]]:
        """Bottles and gallons by the code of the finished lot."""
        codes = {run.lot_code for run in self.runs}
        rows = Movement.objects.filter(
            to_lot__premises=self.span.premises, to_lot__code__in=codes, to_account="finished",
            purpose="bottle", at__lt=self.span.end,
        ).select_related(*ENTRY, *LOTS, *VESSELS)  # fmt: skip
        found: dict[str, list[Movement]] = {}
        for row in rows.order_by("at", "entry__number", "leg"):
            row.entry.premises = self.span.premises
            found.setdefault(row.to_lot.code if row.to_lot else "", []).append(row)
        return found

    @cached_property
    def serials(self) -> dict[int, CaseSerials]:
        """Case numbers by the entry that used them."""
        rows = CaseSerials.objects.filter(premises=self.span.premises)
        return {row.entry_id: row for row in rows.filter(entry__happened_at__lt=self.span.end)}

    @cached_property
    def slips(self) -> dict[int, Slip]:
        """The tank gauge of each opening."""
        opened = {run.opened_by_id for run in self.runs}
        rows = KeptSlip.objects.filter(entry__in=opened).order_by("entry", "-order")
        return {row.entry_id: row.slip for row in rows}

    @cached_property
    def closings(self) -> dict[int, list[Movement]]:
        """What closing and opening found less or more, by entry."""
        entries = {run.closed_by_id for run in self.runs} | {run.opened_by_id for run in self.runs}
        rows = Movement.objects.filter(entry__in=entries - {None}).select_related(*LOTS, *VESSELS)
        found: dict[int, list[Movement]] = {}
        for row in rows.order_by("entry", "leg"):
            found.setdefault(row.entry_id, []).append(row)
        return found
