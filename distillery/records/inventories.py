"""Physical inventories as they were counted and signed (27 CFR 19.623, 19.45)."""

from collections.abc import Iterator

from distillery.counts import Counted
from distillery.counts import figure as figure_of
from distillery.operations.count import counted_in
from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import account, amount, chosen, gallons, joined, kind, told
from distillery.records.signing import SIGNED, signed
from distillery.records.span import Span
from ledger.looking import Held
from ledger.models import Entry, Movement

COUNT = "count"


def rows(span: Span) -> Iterator[Row]:
    """A row for each container counted; what the book had to change stands beside it."""
    for entry in span.of(COUNT):
        heads = {**_heads(entry, span), **signed(entry, span)}
        legs = list(span.legs(entry))
        seen = set()
        for one in counted_in(entry):
            mine = [row for row in legs if _is_of(row, one.held)]
            seen |= {row.pk for row in mine}
            yield Row({**heads, **_counted(one, mine)}, entry)
        for row in legs:
            if row.pk not in seen:
                yield Row({**heads, **_gone(row)}, entry)


def _heads(entry: Entry, span: Span) -> dict[str, Cell]:
    form = span.form(entry)
    return {
        "kind_of_count": chosen(entry, form, "kind"),
        "date": told(form, "as_of") or span.day(entry.happened_at),
        "taken": span.moment(entry.happened_at),
    }


def _is_of(row: Movement, held: Held) -> bool:
    """Whether a difference belongs to the lot in the vessel of *held*."""
    vessels = {row.from_vessel_id, row.to_vessel_id}
    return held.vessel.pk in vessels and held.lot.pk in (row.from_lot_id, row.to_lot_id)


def _counted(one: Counted, mine: list[Movement]) -> dict[str, Cell]:
    held = one.held
    return {
        "container_id": held.vessel.code,
        "account": account(held.account),
        "kind": joined((kind(held.lot), f"lot {held.lot.code}")),
        "quantity": figure_of(held, one.found),
        **_differences(mine),
    }


def _gone(row: Movement) -> dict[str, Cell]:
    """What was looked for and not found."""
    return {
        "container_id": row.from_vessel.code if row.from_vessel else None,
        "account": account(row.from_account),
        "kind": joined((kind(row.from_lot), f"lot {row.from_lot.code}" if row.from_lot else None)),
        "quantity": "none",
        **_differences([row]),
    }


def _differences(mine: list[Movement]) -> dict[str, Cell]:
    return {
        "losses": _sum(mine, "loss", "taxpaid_loss"),
        "gains": _sum(mine, "gain"),
        "shortages": _sum(mine, "shortage"),
        "bottles_or_amount": amount(mine[0]) if mine else None,
    }


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
