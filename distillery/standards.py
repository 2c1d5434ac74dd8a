"""What 27 CFR part 5 asks of spirits that are to bear a name; asked about, never refused.

A record says what happened: spirits outside these limits exist, they only bear another name.
"""

from collections.abc import Iterable
from decimal import Decimal

from ledger.plan import Question

# Whisky types with limits of distillation and entry proof, and new charred oak for most:
# 27 CFR 5.143(c)(2), (3), (5).
LIMITED = ("bourbon", "rye", "wheat", "malt", "rye malt", "corn")
NEW_OAK = LIMITED[:-1]
MOST_DISTILLED, MOST_ENTERED, NEUTRAL = 160, 125, 190
BELOW_NEUTRAL = ("whisky", "brandy", "rum")  # 27 CFR 5.143, 5.145, 5.147


def limited_type(family: str, type_code: str) -> str:
    """The whisky type whose limits apply, like ``bourbon``; "" for any other spirits."""
    if family != "whisky":
        return ""
    words = type_code.lower().replace("whiskey", "").replace("whisky", "").split()
    name = " ".join(word for word in words if word != "straight")
    return name if name in LIMITED else ""


def distilled_questions(family: str, type_code: str, proof: Decimal) -> tuple[Question, ...]:
    """Questions about a distillation *proof* that the named kind does not allow."""
    kind = limited_type(family, type_code)
    if kind and proof > MOST_DISTILLED:
        text = (
            f"{kind.capitalize()} whisky is distilled at 160 proof or less, and this was at "
            f"{proof:.1f} (27 CFR 5.143). It happened: keep the record, and name it otherwise?"
        )
        return (Question("distilled-over-160", text),)
    if family in BELOW_NEUTRAL and proof >= NEUTRAL:
        text = (
            f"At {proof:.1f} proof these are neutral spirits, not {family}: below 190 is asked "
            "(27 CFR 5.142). Keep it as typed?"
        )
        return (Question("distilled-190", text),)
    if family == "vodka" and proof < NEUTRAL:
        text = (
            f"Vodka is neutral spirits, distilled at 190 proof or more; this was at {proof:.1f} "
            "(27 CFR 5.142). Keep it as typed?"
        )
        return (Question("distilled-under-190", text),)
    return ()


def entry_questions(
    family: str, type_code: str, proof: Decimal, woods: Iterable[str]
) -> tuple[Question, ...]:
    """Questions about the entry *proof* and the *woods* ("new", "used") of barrels filled."""
    kind = limited_type(family, type_code)
    asked = []
    if kind and proof > MOST_ENTERED:
        text = (
            f"{kind.capitalize()} whisky enters wood at 125 proof or less, and this is at "
            f"{proof:.1f} (27 CFR 5.143). Keep the record, and name it otherwise later?"
        )
        asked.append(Question("entry-over-125", text))
    if kind in NEW_OAK and "used" in set(woods):
        text = (
            f"{kind.capitalize()} whisky is stored in new charred oak (27 CFR 5.143), and a "
            "barrel here was filled before. Keep the record, and name it otherwise later?"
        )
        asked.append(Question("used-wood", text))
    return tuple(asked)
