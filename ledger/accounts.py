"""The accounts of the book: a fixed list, inside the plant and on its boundary.

Inside accounts follow the operational accounts of 27 CFR 19.571; ``redistil`` keeps apart
what was received for redistillation and not yet charged (TTB F 5110.40 lines 15 and 17a).
Boundary accounts hold nothing: they say where a quantity came from or went.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Account:
    """One account: its code in the book, the words for people, and whether it holds stock."""

    code: str
    title: str
    inside: bool
    spirits: bool = False


_INSIDE = [
    Account("materials", "materials", True),
    Account("fermenting", "fermenting", True),
    Account("production", "production", True, spirits=True),
    Account("redistil", "received for redistillation", True, spirits=True),
    Account("storage", "storage", True, spirits=True),
    Account("processing", "processing", True, spirits=True),
    Account("finished", "finished goods", True, spirits=True),
    Account("taxpaid", "own taxpaid stock", True),
]

_BOUNDARY = {
    "supplier": "supplier",
    "water": "water added",
    "contraction": "contraction",
    "mashed": "mashed",
    "distilled": "distilled",
    "residue": "residue",
    "glass": "empty bottles",
    "other_plant": "another plant in bond",
    "customs": "customs custody",
    "winery": "bonded winery",
    "tax_determined": "removed on tax determination",
    "us": "use of the United States",
    "hospital": "hospital, scientific or educational use",
    "export": "export",
    "ftz": "foreign trade zone",
    "cmw": "customs manufacturing bonded warehouse",
    "cbw": "customs bonded warehouse",
    "vessels": "supplies on vessels or aircraft",
    "research": "research, development or testing",
    "destroyed": "destroyed",
    "loss": "loss",
    "shortage": "unexplained bottled shortage",
    "gain": "gain",
    "opening": "opening balance",
    "write_in": "other, explained",
    "sold": "sold",
    "taxpaid_loss": "loss of taxpaid stock",
}

ACCOUNTS: dict[str, Account] = {
    **{account.code: account for account in _INSIDE},
    **{code: Account(code, title, False) for code, title in _BOUNDARY.items()},
}
INSIDE = tuple(account.code for account in _INSIDE)
SPIRITS = tuple(account.code for account in _INSIDE if account.spirits)
BOUNDARY = tuple(_BOUNDARY)
