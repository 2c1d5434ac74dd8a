"""The words on a package's head (27 CFR 19.483-19.485, 19.488)."""

from datetime import date

from distillery.barrel_spells import Spell
from distillery.lot_marks import marks_of
from distillery.models import Barrel
from distillery.papers.gauge_record import kind_of, origin_of
from distillery.papers.paper import BLANK, proof
from ledger.models import Vessel

Mark = tuple[str, str]


def head_marks(vessel: Vessel, sheet: Barrel, spell: Spell) -> list[Mark]:
    """Label and value of each mark of the package, by the account it was filled in.

    A value that is not on record is BLANK, to be written by hand.
    """
    rows = _processing(vessel, spell) if spell.account == "processing" else _storage(vessel, spell)
    used = " ".join(marks_of(spell.lots[-1]))
    return [*rows, *([("Treated with", used)] if used else []), ("Rated capacity", rated(sheet))]


def rated(sheet: Barrel) -> str:
    """``RC-G 15``: the rated capacity in gallons after its letters."""
    return f"RC-G {sheet.rated_gal.normalize():f}"


def package_id(vessel: Vessel, spell: Spell) -> str:
    """The lot identification of the fill, and which package of it this is."""
    return f"{spell.lot.code} · {vessel.code}"


def fill_day(vessel: Vessel, spell: Spell) -> date:
    """The plant's day of the fill."""
    return spell.start.astimezone(vessel.premises.zone).date()


def _storage(vessel: Vessel, spell: Spell) -> list[Mark]:
    """27 CFR 19.484: who made it; who packed it, at 190 proof and over by another."""
    (_, producer), (_, number), _ = origin_of(spell.lot)
    who = "Producer"
    if spell.lot.designation.class_code == "spirits_190" and number != vessel.premises.registry:
        who, producer, number = "Packed by", proprietor(vessel), vessel.premises.registry
    return [
        (who, producer or BLANK),
        ("Plant number", number),
        ("Kind", kind_of(spell.lot)),
        ("Package", package_id(vessel, spell)),
    ]


def _processing(vessel: Vessel, spell: Spell) -> list[Mark]:
    """27 CFR 19.488: packages filled in processing."""
    lot = spell.lot
    return [
        ("Processor", proprietor(vessel)),
        ("Plant number", vessel.premises.registry),
        ("Kind", kind_of(lot)),
        ("Lot and package", package_id(vessel, spell)),
        ("Filled", f"{fill_day(vessel, spell):%-d %b %Y}"),
        ("Proof", proof(spell.proof)),
        ("Formula", lot.formula or BLANK),
    ]


def proprietor(vessel: Vessel) -> str:
    """Who runs the plant."""
    plant = getattr(vessel.premises, "plant", None)
    return str(plant.proprietor if plant else vessel.premises.name)
