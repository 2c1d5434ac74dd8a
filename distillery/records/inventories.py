"""Physical inventories as they were counted and signed (27 CFR 19.623, 19.45)."""

from collections.abc import Iterator
from typing import Any

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import account, amount, chosen, gallons, kind, told
from distillery.records.span import Span
from distillery.records.transfers import SIGNED, signed
from ledger.models import Entry, Movement

COUNT = "count"
GONE = ("loss", "shortage", "taxpaid_loss")


def rows(span: Span) -> Iterator[Row]:
    """A row for each container counted; what the book had to change stands beside it."""
    for entry in span.of(COUNT):
        heads = {**_heads(entry, span), **signed(entry, span)}
        legs = list(span.legs(entry))
        for part in span.form(entry).get("rows") or []:
            mine = [row for row in legs if _is_of(row, part)]
            yield Row({**heads, **_counted(part, mine)}, entry)


def _heads(entry: Entry, span: Span) -> dict[str, Cell]:
    form = span.form(entry)
    return {
        "kind_of_count": chosen(entry, form, "kind"),
        "date": told(form, "as_of") or span.day(entry.happened_at),
        "taken": span.moment(entry.happened_at),
    }


def _is_of(row: Movement, part: dict[str, Any]) -> bool:
    """Whether a difference belongs to the container, and lot where one is named, of *part*."""
    vessels = {one.code.casefold() for one in (row.from_vessel, row.to_vessel) if one}
    lots = {one.code for one in (row.from_lot, row.to_lot) if one}
    is_here = str(part.get("vessel", "")).casefold() in vessels
    return is_here and (not part.get("lot") or part["lot"] in lots)


def _counted(part: dict[str, Any], mine: list[Movement]) -> dict[str, Cell]:
    lot = next((row.from_lot or row.to_lot for row in mine), None)
    inside = next(
        (row.from_account if row.to_account in GONE else row.to_account for row in mine), None
    )
    return {
        "container_id": told(part, "vessel"),
        "account": account(inside) if inside else None,
        "kind": kind(lot) if lot else told(part, "lot"),
        "quantity": _quantity(part),
        "losses": _sum(mine, "loss", "taxpaid_loss"),
        "gains": _sum(mine, "gain"),
        "shortages": _sum(mine, "shortage"),
        "bottles_or_amount": amount(mine[0]) if mine else None,
    }


def _quantity(part: dict[str, Any]) -> Cell:
    """What was found, as it was filled in."""
    if told(part, "as_book"):
        return "as the book"
    if told(part, "empty"):
        return "empty"
    if bottles := told(part, "bottles"):
        return f"{bottles} bottles"
    if quantity := told(part, "quantity"):
        return quantity
    names = ("volume", "gross", "tare", "net", "dip", "temperature", "proof", "reading")
    read = [f"{name} {told(part, name)}" for name in names if told(part, name)]
    return "; ".join(read) or None


def _sum(mine: list[Movement], *accounts: str) -> Cell:
    found = [row for row in mine if {row.from_account, row.to_account} & set(accounts)]
    return gallons(sum(row.proof_gallons for row in found)) if found else None


INVENTORIES = Kind(
    slug="inventories",
    title="Physical inventories",
    section="27 CFR 19.623",
    rows=rows,
    is_per_entry=True,
    signed_as="inventory",
    when=(
        "Tanks at each quarter's end (27 CFR 19.312, 19.333, 19.371); bottled goods on 30 June and "
        "31 December (19.372)"
    ),
    heads=(
        Column("kind_of_count", "Inventory"),
        Column("date", "For the end of"),
        Column("taken", "Taken"),
        *SIGNED,
    ),
    columns=(
        Column("container_id", "Container", 10),
        Column("account", "Account", 10),
        Column("kind", "Kind or lot", 18),
        Column("quantity", "Found", 22),
        figure("losses", "Loss, PG"),
        figure("gains", "Gain, PG"),
        figure("shortages", "Shortage, PG"),
        Column("bottles_or_amount", "Difference counted", 12),
    ),
    operations=(COUNT,),
)
