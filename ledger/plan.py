"""What an operation hands to the door: legs, new lots, and what to show before posting.

A plan is frozen data; two plans are the same act when they are equal, and ``digest`` lets a
page carry that comparison across a request. Codes may contain ``{n}``: the door puts the
entry's number there when it writes, so that a preview does not depend on it.
"""

from dataclasses import asdict, dataclass
from datetime import date
from hashlib import sha256
from json import dumps

from ledger.accounts import ACCOUNTS


@dataclass(frozen=True, slots=True)
class Place:
    """One side of a movement. Inside accounts need lot and vessel; a boundary may name a lot."""

    account: str
    lot: str = ""
    vessel: str = ""

    def __str__(self) -> str:
        title = ACCOUNTS[self.account].title if self.account in ACCOUNTS else self.account
        return f"{self.vessel} ({title})" if self.vessel else title


@dataclass(frozen=True, slots=True)
class Leg:
    """One movement of a plan. Integers: hundredths of a gallon, tenths of a degree of proof."""

    origin: Place
    to: Place
    purpose: str
    amount: int = 0
    wine_gallons: int = 0
    proof_gallons: int = 0
    proof: int | None = None
    cooperage: str = ""
    taxed: bool = False


@dataclass(frozen=True, slots=True)
class NewLot:
    """The facts of a lot, frozen and sealed in the entry that opens it.

    ``class_code`` is a code of ledger.classes ("" for what is not spirits or wine);
    ``distilled_at`` and ``label_proof`` are tenths of a degree of proof.

    Age (27 CFR 5.74, 19.592(d)(5)): ``wood`` is what the lot stands in, "new" (charred new oak)
    or "other", "" when it is not in wood; it does so since ``aged_from``. ``aged_new`` and
    ``aged_other`` are the spells completed before, as ISO 8601 durations like ``P2Y3M14D``.
    ``owner`` names whoever else owns the spirits; ``formula`` the approved formula (5.192).
    """

    code: str
    stage: str
    unit: str
    name: str
    class_code: str = ""
    type_code: str = ""
    source: str = "domestic"
    form: str = ""
    material: str = ""
    redistilled: bool = False
    reduced_rate: bool = True
    distilled_at: int | None = None
    aged_from: date | None = None
    producer: str = ""
    state: str = ""
    product: str = ""
    bottle_ml: int | None = None
    per_case: int | None = None
    label_proof: int | None = None
    wood: str = ""
    aged_new: str = ""
    aged_other: str = ""
    formula: str = ""
    owner: str = ""


@dataclass(frozen=True, slots=True)
class Shortage:
    """How far one holding would fall below zero, and the sentence that says so."""

    place: Place
    amount: int
    wine_gallons: int
    proof_gallons: int
    sentence: str


@dataclass(frozen=True, slots=True)
class Question:
    """Something unlikely that the operator can confirm; ``code`` goes into ``confirm``."""

    code: str
    text: str


@dataclass(frozen=True, slots=True)
class Slip:
    """How one figure was found: a title, readings, steps, and the result, as text."""

    title: str
    readings: tuple[tuple[str, str], ...] = ()
    steps: tuple[str, ...] = ()
    result: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Plan:
    """An act before it is posted. No legs is allowed: a relabel is an act with a record."""

    legs: tuple[Leg, ...] = ()
    lots: tuple[NewLot, ...] = ()
    document: str = ""
    slips: tuple[Slip, ...] = ()
    lines: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()

    def digest(self) -> str:
        """A hash over all that would be written, to compare a preview with the posting."""
        body = [[asdict(leg) for leg in self.legs], [asdict(lot) for lot in self.lots]]
        text = dumps([*body, self.document], default=str, sort_keys=True)
        return sha256(text.encode()).hexdigest()
