"""What a difference found by a count does, in words: for the book, the report and the tax.

There is no tolerance: any difference is a recorded gain, loss or shortage (27 CFR 19.623(a)(4),
19.462(a), 19.465).
"""

from distillery.counts import Counted, figure
from ledger.quantities import to_decimal

# Lines of TTB F 5110.11 and 5110.28 that count a gain and a loss of each account.
GAIN_LINES = {"storage": "5110.11 line 5", "processing": "5110.28 line 7"}
LOSS_LINES = {"storage": "5110.11 line 22", "processing": "5110.28 line 24"}
MISSING = (
    " A missing package is reported at once, and its tax paid or a claim filed (27 CFR 19.462(c))."
)
OVERAGE, SHORTAGE = "5110.28 line 30", "5110.28 line 45"


def consequence(one: Counted) -> str:
    """One sentence; "" where the count and the book agree."""
    amount, wine, proof = one.difference
    account = one.held.account
    if not any((amount, wine, proof)):
        return ""
    if account == "finished":
        return _of_bottles(amount, proof)
    if account == "taxpaid":
        return f"{_bottles(amount)} {_side(amount)} in the tax-paid stock; no report counts it."
    if account in ("production", "redistil", "storage", "processing"):
        missing = MISSING if one.held.vessel.kind == "barrel" and not any(one.found) else ""
        return _of_bulk(account, wine, proof) + missing
    word = "more" if max(amount, wine) > 0 else "less"
    return f"{figure(one.held, (abs(amount), abs(wine), 0))} {word}; no report counts it."


def _of_bottles(amount: int, proof: int) -> str:
    if amount < 0:
        return (
            f"Shortage of {_bottles(amount)}, {_pg(proof)}: {SHORTAGE}. Unexplained, it is taxed "
            "and goes into this month's tax figure (27 CFR 19.465). Explain it first if it can be: "
            "record the breakage, the sample or the removal that was forgotten."
        )
    return f"Overage of {_bottles(amount)}, {_pg(proof)}: {OVERAGE}."


def _of_bulk(account: str, wine: int, proof: int) -> str:
    lines = GAIN_LINES if proof > 0 else LOSS_LINES
    line = f": {lines[account]}" if account in lines else "; no line of a report counts it"
    if proof:
        return f"{'Gain' if proof > 0 else 'Loss'} of {_pg(proof)}{line}."
    return (
        f"{to_decimal(abs(wine)):,f} gal {_side(wine)} at the same proof gallons; no tax, no line."
    )


def _bottles(amount: int) -> str:
    return f"{abs(amount):,} bottle{'' if abs(amount) == 1 else 's'}"


def _pg(proof: int) -> str:
    return f"{to_decimal(abs(proof)):,f} PG"


def _side(number: int) -> str:
    return "more" if number > 0 else "less"
