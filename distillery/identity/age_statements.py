"""Statements of age: when one is required, allowed or prohibited, and what it may say.

Source: 27 CFR 5.74, 87 FR 7526 (T.D. TTB-176). Ages are (years, months, days).
"""

from collections.abc import Iterable

from distillery.identity.made import Years

REQUIRED, OPTIONAL, PROHIBITED = "required", "optional", "prohibited"
WHISKY_FREE = (4, 0, 0)  # 5.74(b): from here on a whisky need not state its age
BRANDY_FREE = (2, 0, 0)  # 5.74(c)
# 5.74(c): brandies that need no statement however young.
BRANDY_EXEMPT = frozenset({"immature", "fruit", "marc", "pomace", "pisco", "grappa"})
# 5.74(a)(2): a stated age may not contradict what the class itself asks.
CLASS_MINIMUM = {"straight": (2, 0, 0), "bottled in bond": (4, 0, 0)}


def statement_for(
    family: str,
    *,
    youngest: Years | None,
    type_code: str = "",
    bottled_in_bond: bool = False,
    added: Iterable[str] = (),
) -> str:
    """Whether the label of *family* spirits must, may or may not state an age.

    *youngest* is the time in oak of the youngest part, None when it was in none; *added* is what
    went in after the barrel beside water. 5.74(b) whisky, (c) brandy, (d) rum, (e) others.
    """
    words = set(type_code.lower().split())
    if family in ("vodka", "spirits"):
        return OPTIONAL if "grain" in words else PROHIBITED
    if family == "whisky":
        young = youngest is None or youngest < WHISKY_FREE
        return REQUIRED if young and not bottled_in_bond else OPTIONAL
    if family == "brandy":
        young = youngest is None or youngest < BRANDY_FREE
        return REQUIRED if young and not words & BRANDY_EXEMPT else OPTIONAL
    if family == "rum":
        return OPTIONAL
    return OPTIONAL if youngest is not None and not set(added) else PROHIBITED


def is_allowed(stated: Years, true: Years, *, designation: str = "") -> bool:
    """Whether *stated* may stand: never above the *true* age, nor below what the name asks."""
    least = [age for word, age in CLASS_MINIMUM.items() if word in designation.lower()]
    return stated <= true and all(stated >= age for age in least)


def age_words(age: Years, *, family: str, type_code: str, woods: Iterable[str]) -> str:
    """The statement in words: ``2 years 3 months old``, or the form for reused cooperage.

    Domestic whisky that lay in reused barrels, other than corn and light whisky, says how long
    it was stored in reused cooperage in place of an age (5.74(b)(4)).
    """
    names = ("year", "month", "day")
    told = [
        f"{count} {name}{'' if count == 1 else 's'}"
        for count, name in zip(age, names, strict=True)
        if count
    ]
    words = " ".join(told) or "0 days"
    kinds = set(type_code.lower().split())
    if family == "whisky" and "other" in set(woods) and not kinds & {"corn", "light"}:
        return f"stored {words} in reused cooperage"
    return f"{words} old"
