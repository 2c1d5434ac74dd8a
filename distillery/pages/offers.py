"""What a form's lists offer, each with what stands in it; read once for the whole page."""

from functools import cached_property
from typing import Any

from django import forms
from django.utils import timezone

from distillery.check_due import checks_due
from distillery.forms import (
    ChoiceField,
    InstrumentField,
    LotField,
    MaterialField,
    ProductField,
    VesselField,
)
from distillery.forms.past_lot_field import PastLotField
from distillery.forms.reading_field import ReadingField
from distillery.forms.removal_field import RemovalField
from distillery.instruments import plain
from distillery.models import Instrument, Material, Product, Reading
from distillery.operations.base import Operation
from distillery.pages.racks import is_gone
from distillery.pages.sentences import title_of
from distillery.pages.standing import acts_at, content, held_now, reading_words
from distillery.remarks import states_of
from distillery.shown_in import shown_in
from ledger.looking import Held
from ledger.models import Lot, Premises, Vessel

Option = tuple[str, str]
NEWEST, NEWEST_READINGS = 30, 60


class Offers:
    """The plant's vessels, live lots, materials, products and instruments as options."""

    def __init__(self, premises: Premises, *, is_blind: bool = False) -> None:
        self.premises, self.is_blind = premises, is_blind  # blind, no list tells what is held

    @cached_property
    def _held(self) -> dict[int, list[Held]]:
        return {} if self.is_blind else held_now(self.premises)

    @cached_property
    def _vessels(self) -> list[tuple[Vessel, str]]:
        rows = Vessel.objects.filter(premises=self.premises).select_related("sheet", "barrel")
        ordered = sorted(rows, key=_place_on_the_floor)
        here = [one for one in ordered if self._held.get(one.pk) or not is_gone(one)]
        return [(vessel, self._told(vessel)) for vessel in here]

    def _told(self, vessel: Vessel) -> str:
        title = title_of(vessel)
        name = vessel.code if title == vessel.code else f"{vessel.code} {title}"
        held = [str(content(one)) for one in self._held.get(vessel.pk, [])]
        more = f" and {len(held) - 1} more" if len(held) > 1 else ""
        if self.is_blind:
            return name
        return f"{name} · {held[0]}{more}" if held else f"{name} · empty"

    def only_place(self, operation: Operation) -> str:
        """The code of the vessel where *operation* makes sense now, if there is but one."""
        bottlings = {one.run.vessel_id: one for one in checks_due(self.premises, timezone.now())}
        states = states_of(self._held, self.premises)
        found = [
            one.code
            for one, _ in self._vessels
            if acts_at(
                one, self._held.get(one.pk, []), [operation],
                bottling=bottlings.get(one.pk), state=states.get(one.pk),
            )
        ]  # fmt: skip
        return found[0] if len(found) == 1 else ""

    @cached_property
    def _lots(self) -> list[tuple[str, str, str]]:
        found: dict[str, tuple[Held, list[str]]] = {}
        for rows in self._held.values():
            for one in rows:
                found.setdefault(one.lot.code, (one, []))[1].append(one.vessel.code)
        newest = sorted(found.values(), key=lambda pair: -pair[0].lot.pk)
        return [
            (first.lot.stage, first.lot.code, f"{content(first)}, in {_where(codes)}")
            for first, codes in newest
        ]

    @cached_property
    def _materials(self) -> list[Option]:
        rows = Material.objects.filter(premises=self.premises)
        return [(row.code, f"{row.name} ({row.code}), in {row.unit}") for row in rows]

    @cached_property
    def _products(self) -> list[Option]:
        rows = Product.objects.filter(premises=self.premises)
        return [(row.code, f"{row} · {row.label_proof:f} proof ({row.code})") for row in rows]

    @cached_property
    def _instruments(self) -> list[tuple[str, str, str]]:
        rows = Instrument.objects.filter(premises=self.premises, is_retired=False)
        return [
            (row.kind, row.code, f"{row.code} · {plain(row.low)} to {plain(row.high)} {row.unit}")
            for row in rows
        ]

    def _newest(self, stages: tuple[str, ...]) -> list[Option]:
        """The newest lots of *stages*, whether anything of them is left or not."""
        rows = Lot.objects.filter(premises=self.premises, stage__in=stages).order_by("-pk")
        return [(row.code, f"{row.code} {row.name}") for row in rows[:NEWEST]]

    def _readings(self) -> list[Option]:
        """The newest readings that stand, in words."""
        rows = Reading.objects.standing().filter(premises=self.premises).select_related("vessel")
        shown, zone = shown_in(self.premises), self.premises.zone
        return [
            (row.key, f"{row.vessel.code}, {row.at.astimezone(zone):%-d %b %H:%M} · "
                      f"{reading_words(row, shown)} · by {row.by}")
            for row in rows.order_by("-at", "-pk")[:NEWEST_READINGS]
        ]  # fmt: skip

    def of(self, field: forms.Field) -> list[Option] | None:
        """The options of *field*; None when it is not a list."""
        match field:
            case VesselField():
                rows = self._vessels
                return [(v.code, told) for v, told in rows if _fits(v.kind, field.kinds)]
            case PastLotField():
                return self._newest(field.stages)
            case ReadingField():
                return self._readings()
            case LotField():
                lots = self._lots
                return [(code, told) for stage, code, told in lots if _fits(stage, field.stages)]
            case RemovalField():
                return [(document, document) for document in field.waiting] or None
            case MaterialField():
                return self._materials
            case ProductField():
                return self._products
            case InstrumentField():
                return [
                    (code, told)
                    for kind, code, told in self._instruments
                    if _fits(kind, field.kinds)
                ]
            case ChoiceField():
                return [(str(value), str(label)) for value, label in _flat(field.choices)]
        return None


def _fits(word: str, wanted: tuple[str, ...]) -> bool:
    return not wanted or word in wanted


def _flat(choices: Any) -> list[tuple[Any, Any]]:
    return [(value, label) for value, label in choices if not isinstance(label, list | tuple)]


def _place_on_the_floor(vessel: Vessel) -> tuple[int, str]:
    sheet = getattr(vessel, "sheet", None)
    return (sheet.order if sheet else 0, vessel.code)


def _where(codes: list[str]) -> str:
    return codes[0] if len(codes) == 1 else f"{codes[0]} and {len(codes) - 1} more"
