"""What 27 CFR part 5 asks of spirits that are to bear a name; asked about, never refused.

A record says what happened: spirits outside these limits exist, they only bear another name.
The limits themselves are data in distillery/identity.
"""

from collections.abc import Iterable
from decimal import Decimal

from distillery.identity import Made, findings, standard_for
from ledger.plan import Question

# The question's code by the fact that does not fit.
CODES = {
    "distilled_proof": "distilled-proof",
    "entry_proof": "entry-proof",
    "bottled_proof": "bottled-proof",
    "woods": "wood",
    "oak": "age",
    "new_oak": "age",
    "added": "added",
    "method": "method",
}
WOODS = {"new": "new", "used": "other", "other": "other"}


def name_questions(family: str, type_code: str, made: Made) -> tuple[Question, ...]:
    """One question for each kind of limit that the name sets and *made* does not meet."""
    standard = standard_for(family, type_code)
    if standard is None:
        return ()
    texts: dict[str, list[str]] = {}
    for found in findings(standard, made):
        code = CODES.get(found.fact, found.fact.split(".", maxsplit=1)[0])
        texts.setdefault(code, []).append(found.text)
    return tuple(
        Question(f"name-{code}", f"{' '.join(said)} Keep the record, and name it otherwise?")
        for code, said in texts.items()
    )


def distilled_questions(family: str, type_code: str, proof: Decimal) -> tuple[Question, ...]:
    """Questions about a distillation *proof* that the named kind does not allow."""
    return name_questions(family, type_code, Made(distilled_proof=proof))


def entry_questions(
    family: str, type_code: str, proof: Decimal, woods: Iterable[str]
) -> tuple[Question, ...]:
    """Questions about the entry *proof* and the *woods* ("new", "used") of barrels filled."""
    known = frozenset(WOODS[wood] for wood in woods if wood in WOODS)
    return name_questions(family, type_code, Made(entry_proof=proof, woods=known or None))
