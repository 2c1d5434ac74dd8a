"""Whether an act needs an approved formula, and which one is named (27 CFR 5.192, 5.193, 19.348).

An act is never stopped for it: where none is named, it is asked about once.
"""

from collections.abc import Iterable, Sequence

from distillery.identity import formula_section
from distillery.models import Formula
from ledger.classes import CLASSES
from ledger.models import Premises
from ledger.plan import NewLot, Question

# What the act is called in the question; its section is that of distillery/identity.
WORDS = {
    "charred_with_reused": "mixing spirits from charred oak with spirits from other cooperage",
    "steeping": "steeping plant material",
    "gin_by_redistillation": "gin by redistillation",
    "gin_by_mixing": "gin by mixing",
    "mixing_classes": "mixing spirits of different classes or materials",
    "carbonating": "carbonating",
    "compounding": "mixing in flavoring, wine or other material",
    "stripping": "filtering that changes the character",
}
TREATMENT = "27 CFR 19.348, 5.193"  # any treatment that changes character, class or type


def family_of(lot: NewLot) -> str:
    """The legal class of *lot*, vodka with the neutral spirits it is (27 CFR 5.142)."""
    family = CLASSES[lot.class_code].family if lot.class_code else ""
    return "spirits" if family == "vodka" else family


def _woods(lot: NewLot) -> set[str]:
    """``new`` where charred new oak held it, ``other`` where other wood did."""
    spells = (("new", lot.aged_new), ("other", lot.aged_other))
    return {wood for wood, spell in spells if spell} | ({lot.wood} if lot.wood else set())


def acts_of_mixing(parts: Sequence[NewLot], becomes: NewLot) -> list[str]:
    """What mixing *parts* into *becomes* does that needs a formula (27 CFR 5.193)."""
    acts = []
    families = {family_of(lot) for lot in parts if lot.class_code}
    materials = {lot.material for lot in parts if lot.material}
    if family_of(becomes) == "gin" and families != {"gin"}:
        acts.append("gin_by_mixing")
    elif len(families) > 1 or len(materials) > 1:
        acts.append("mixing_classes")
    woods = [_woods(lot) for lot in parts]
    if {"new"} in woods and {"other"} in woods:
        acts.append("charred_with_reused")
    return acts


def formula_question(acts: Iterable[str], formula: str) -> tuple[Question, ...]:
    """Asks when *acts* need an approved formula and none is named."""
    told = [f"{WORDS[act]} ({formula_section(act) or TREATMENT})" for act in dict.fromkeys(acts)]
    if formula or not told:
        return ()
    text = (
        f"An approved formula on TTB F 5100.51 is needed for {'; '.join(told)}, and none is "
        "named. Keep the record without?"
    )
    return (Question("formula-needed", text),)


def listed(premises: Premises, number: str) -> Formula | None:
    """The plant's formula of this number, None when it is not on the list."""
    return Formula.objects.filter(premises=premises, number=number).first()


def formula_lines(premises: Premises, number: str) -> tuple[str, ...]:
    """What the plant's list tells of the formula named, its limits too; nothing without one."""
    if not number:
        return ()
    found = listed(premises, number)
    if found is None:
        return (f"Formula {number} is not on the plant's list. Add it under Plant.",)
    state = f"approved {found.approved_on:%Y-%m-%d}" if found.approved_on else "not yet approved"
    if not found.is_active:
        state += ", no longer in use"
    limits = [
        f"{name} {text}"
        for name, text in (("wine:", found.wine_limit), ("flavors:", found.flavor_limit))
        if text
    ]
    told = f"Formula {found.number}, {found.name}, {found.form_identity}: {state}"
    return ("; ".join((told, *limits)) + ".",)


def listed_question(premises: Premises, number: str) -> tuple[Question, ...]:
    """Asks about a formula on the list that is not approved, or no longer in use."""
    found = listed(premises, number) if number else None
    if found is None or (found.approved_on and found.is_active):
        return ()
    state = "no longer in use" if found.approved_on else "not yet approved"
    text = f"Formula {number} is {state} by the plant's list (27 CFR 5.192). Use it all the same?"
    return (Question("formula-not-in-use", text),)
