"""What is asked when spirits are put together in storage (27 CFR 19.326, 19.328, 5.193(e))."""

from collections.abc import Iterable, Sequence
from datetime import date

from distillery.ages import NEW, OTHER, age_on, counted_on
from distillery.identity import formula_section
from ledger.models import Lot
from ledger.plan import NewLot, Question


def mingling_questions(lots: Iterable[Lot], day: date) -> tuple[Question, ...]:
    """Questions where types differ, or charred new oak meets reused wood."""
    found = list({lot.code: lot for lot in lots}.values())
    return (*_types(found), *_woods(found, day))


def _types(lots: Sequence[Lot]) -> tuple[Question, ...]:
    """Under 190 proof only one kind is mingled; brandies and rums go among themselves."""
    whiskies = [lot for lot in lots if lot.designation.class_code.startswith("whisky")]
    types = {lot.designation.type_code for lot in whiskies}
    if len(types) < 2:
        return ()
    told = " and ".join(f"{lot.code} ({lot.designation.type_code or lot.name})" for lot in whiskies)
    text = (
        f"{told} are whisky of different types. Under 190 proof, storage mingles only the same "
        "kind made in the same State (27 CFR 19.326). Was it done all the same?"
    )
    return (Question("mingles-types", text),)


def _woods(lots: Sequence[Lot], day: date) -> tuple[Question, ...]:
    woods = [{wood for wood, _ in age_on(lot, day).spells()} for lot in lots]
    if {NEW} not in woods or {OTHER} not in woods:
        return ()
    text = (
        "Some of this aged in charred new oak and some in other wood. Mingling them needs a "
        f"formula unless TTB finds no change of character ({formula_section('charred_with_reused')}"
        "). Keep it?"
    )
    return (Question("charred-with-reused", text),)


def youngest_text(lots: Iterable[Lot], mixed: NewLot, day: date) -> str:
    """``26A30 2 years and 26C04 1 year make 1 year, the age of the youngest``."""
    told = " and ".join(f"{lot.code} of {counted_on(lot, day)}" for lot in lots)
    return f"{told} make {counted_on(mixed, day)}, the age of the youngest (27 CFR 19.328)"
