"""Distilling material made, received, used and destroyed; chemicals (27 CFR 19.584(c) to (g))."""

from collections.abc import Iterator

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import account, gallons, joined, kind, reference, told
from distillery.records.span import Span
from ledger.models import Entry, Movement

WASH = "fermenting"
GONE = ("residue", "loss", "other_plant", "supplier", "destroyed")
CHEMICALS = ("take-off-chemical",)
READINGS = ("route-stillage", "close-run")


def rows(span: Span) -> Iterator[Row]:
    """Each movement of wash with gallons, then what was taken off the stills."""
    for row in span.movements:
        if row.wine_gallons and (row.from_account == WASH) != (row.to_account == WASH):
            yield Row(_wash(row, span), row.entry)
        elif row.from_account == "production" and row.to_account == "residue":
            volume = f"stillage, {gallons(row.wine_gallons):,} gal"
            lot = row.from_lot.code if row.from_lot else None
            yield Row({**_day(row.entry, span), "lot": lot, "how": volume}, row.entry)
        elif _is_extraneous(row):
            told_of = f"{kind(row.from_lot)}, {gallons(row.proof_gallons)} PG"
            foreign = {"extraneous_distillate_kind_qty": told_of, "how": account(row.to_account)}
            yield Row({**_day(row.entry, span), **foreign}, row.entry)
    for entry in span.of(*CHEMICALS, *READINGS):
        cells = _chemical(entry, span)
        if cells:
            yield Row({**_day(entry, span), **cells}, entry)


def _is_extraneous(row: Movement) -> bool:
    """Unfinished distillates destroyed before the production gauge (27 CFR 19.307)."""
    return row.from_account == "production" and row.to_account == "destroyed"


def _day(entry: Entry, span: Span) -> dict[str, Cell]:
    return {"date": span.day(entry.happened_at), "related_record": reference(entry)}


def _wash(row: Movement, span: Span) -> dict[str, Cell]:
    lot = row.to_lot if row.to_account == WASH else row.from_lot
    form = span.form(row.entry)
    gallons_moved = gallons(row.wine_gallons)
    cells: dict[str, Cell] = {
        **_day(row.entry, span),
        "kind": kind(lot),
        "lot": lot.code if lot else None,
        "how": joined((account(row.from_account), account(row.to_account))),
    }
    if row.from_account in ("other_plant", "supplier"):
        is_beer = "beer" in str(form.get("kind", "")).lower()
        name = "beer_received_from_brewery" if is_beer else "wine_gallons_received"
        party = (told(form, "consignor"), told(form, "consignor_address"),
                 told(form, "consignor_number"))  # fmt: skip
        return cells | {name: gallons_moved, "abv_pct_if_received": told(form, "abv"),
                        "other_party": joined(party)}  # fmt: skip
    if row.to_account == WASH:
        return cells | {"wine_gallons_produced": gallons_moved}
    if row.to_account in GONE:
        party = (told(form, "consignee"), told(form, "consignee_address"),
                 told(form, "consignee_number"))  # fmt: skip
        how = joined(told(form, name) for name in ("fate", "manner", "why", "person"))
        return cells | {"wine_gallons_destroyed_or_removed": gallons_moved,
                        "other_party": joined(party), "how": how or cells["how"]}  # fmt: skip
    return cells | {"wine_gallons_used": gallons_moved}


def _chemical(entry: Entry, span: Span) -> dict[str, Cell]:
    form = span.form(entry)
    if entry.operation in CHEMICALS:
        name = joined((told(form, "name"), told(form, "kind")))
        return {
            "fusel_oil_or_chemical_qty": joined((told(form, "volume"), name)),
            "chemical_disposition": told(form, "disposition"),
            "chemical_consignee": joined(
                (told(form, "consignee"), told(form, "consignee_address"))
            ),
            "chemical_alcohol_test": told(form, "test_abv"),
        }
    volume = told(form, "volume", "stillage")
    if volume is None:
        return {}
    party = joined((told(form, "to_name"), told(form, "to_address")))
    return {"how": f"stillage measured, {volume}", "chemical_disposition": told(form, "route"),
            "other_party": party}  # fmt: skip


DISTILLING_MATERIAL = Kind(
    slug="distilling-material",
    title="Distilling material",
    section="27 CFR 19.584(c) to (g)",
    rows=rows,
    columns=(
        Column("date", "Date", 9),
        Column("kind", "Kind", 12),
        Column("lot", "Lot", 9),
        figure("wine_gallons_produced", "Gallons made"),
        figure("wine_gallons_received", "Gallons received"),
        figure("beer_received_from_brewery", "Beer from a brewery, gallons"),
        Column("abv_pct_if_received", "Alcohol, if received", 7),
        figure("wine_gallons_used", "Gallons used"),
        figure("wine_gallons_destroyed_or_removed", "Gallons destroyed or removed"),
        Column("how", "From, to, how", 13),
        Column("other_party", "From or to whom", 12),
        Column("fusel_oil_or_chemical_qty", "Fusel oil or chemical", 9),
        Column("chemical_disposition", "What became of it", 9),
        Column("chemical_consignee", "Its consignee", 9),
        Column("chemical_alcohol_test", "Its alcohol", 7),
        Column("extraneous_distillate_kind_qty", "Distillate with foreign matter", 10),
        Column("related_record", "Related record", 11),
    ),
    operations=(
        "mash", "charge", "receive-distilling-material", "move-wash", "destroy-wash",
        "take-off-chemical", "route-stillage", "close-run", "pitch", "lose",
    ),
)  # fmt: skip
