"""Cells that many records share, read from a lot, a movement or a form."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from distillery.ages import counted_on
from distillery.operations import operations
from distillery.pages.sentences import quantity
from distillery.papers.gauge_record import PLANT_NUMBER, kind_of
from distillery.records.base import Cell
from distillery.records.span import Span
from distillery.tables import operation_title
from ledger.accounts import ACCOUNTS, INSIDE
from ledger.classes import CLASSES, SOURCES
from ledger.models import Entry, Lot, Movement
from ledger.quantities import to_decimal


def gallons(hundredths: int) -> Decimal:
    """Wine or proof gallons to the hundredth."""
    return to_decimal(hundredths)


def pg(rows: Iterable[Movement]) -> Decimal:
    """Proof gallons of movements together."""
    return to_decimal(sum(row.proof_gallons for row in rows))


def wg(rows: Iterable[Movement]) -> Decimal:
    """Wine gallons of movements together."""
    return to_decimal(sum(row.wine_gallons for row in rows))


def proof(tenths: int | None) -> Cell:
    """Degrees of proof to a tenth; None where none is on record."""
    return None if tenths is None else (Decimal(tenths) / 10).quantize(Decimal("0.1"))


def account(code: str) -> str:
    """The words of an account."""
    known = ACCOUNTS.get(code)
    return known.title if known else code


def kind(lot: Lot | None) -> Cell:
    """The name of a lot with its type; None without a lot."""
    return None if lot is None else kind_of(lot)


def class_title(lot: Lot) -> str:
    """The class of the monthly reports, or the lot's name where it has none."""
    known = CLASSES.get(lot.designation.class_code)
    return known.title if known else lot.name


def producer(lot: Lot | None) -> Cell:
    """Who made it, without the plant number."""
    return PLANT_NUMBER.sub("", lot.producer).strip(" ,") or None if lot else None


def plant_no(lot: Lot | None) -> Cell:
    """The producer's plant number, where the lot tells one."""
    number = PLANT_NUMBER.search(lot.producer) if lot else None
    return number[1] if number else None


def origin(lot: Lot | None) -> Cell:
    """Domestic, imported, Puerto Rican or Virgin Islands."""
    return SOURCES.get(lot.designation.source, lot.designation.source) if lot else None


def lot_age(lot: Lot | None, span: Span, entry: Entry) -> Cell:
    """The age that may be told on the day of *entry*: years, months, days; None for none."""
    found = counted_on(lot, span.date(entry.happened_at)) if lot else None
    return str(found) if found else None


def amount(row: Movement) -> Cell:
    """The amount of a movement in its lot's own unit; None where it counts in gallons."""
    is_from_inside = row.from_account in INSIDE
    lot = (row.from_lot if is_from_inside else row.to_lot) or row.to_lot or row.from_lot
    if lot is None or not row.amount or lot.unit == "pg":
        return None
    return quantity(amount=row.amount, unit=lot.unit, wine_gallons=0, proof_gallons=0)


def reference(entry: Entry) -> str:
    """The record by its title and serial number: ``Dump to processing DB-12``."""
    return f"{operation_title(entry.operation)} {serial(entry)}"


def serial(entry: Entry) -> str:
    """The document number, else the number of the entry."""
    return entry.document or f"entry No. {entry.number}"


def told(form: dict[str, Any], *names: str) -> Cell:
    """The first of *names* that is filled in, as text; yes for a tick. None where none is."""
    for name in names:
        value = form.get(name)
        if value is True:
            return "yes"
        if value not in (None, "", [], {}, False):
            return str(value)
    return None


def named(parts: Any, **names: str) -> dict[str, Any]:
    """The part of a form that names this vessel, barrel or lot; an empty one where none does.

    A person may have typed a code in another case.
    """
    ((field, code),) = names.items()
    for part in parts or ():
        if code and str(part.get(field, "")).casefold() == code.casefold():
            return dict(part)
    return {}


def chosen(entry: Entry, form: dict[str, Any], *names: str) -> Cell:
    """Like told, with the words of a choice where the form offers one."""
    for name in names:
        value = told(form, name)
        if value is not None:
            return words_of(entry.operation, name, str(value))
    return None


def words_of(slug: str, name: str, value: str) -> str:
    """The words that the form of operation *slug* has for the choice *value* of *name*."""
    known = operations().get(slug)
    field = known.form.base_fields.get(name) if known else None
    choices = getattr(field, "choices", None) or ()
    return next((str(label) for code, label in choices if str(code) == value), value)


def vessel(row: Movement) -> Cell:
    """The vessel it left, else the one it went into."""
    one = row.from_vessel or row.to_vessel
    return one.code if one else None


def joined(values: Iterable[object]) -> Cell:
    """Different values in their order, parted by commas; None where there are none."""
    return ", ".join(dict.fromkeys(str(value) for value in values if value)) or None


def gauge_details(span: Span, entry: Entry) -> Cell:
    """What was read for the gauges of *entry*, from its slips."""
    told_of = [
        f"{slip.title}: " + "; ".join(f"{name} {value}" for name, value in slip.readings)
        for slip in span.slips(entry)
        if slip.readings
    ]
    return ". ".join(told_of) or None
