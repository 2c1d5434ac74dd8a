"""What a lot's past says of the name it is bottled under (27 CFR 5.74, 5.143)."""

from datetime import date
from decimal import Decimal

from django.db.models import Max

from distillery.ages import age_on, counted_on, read
from distillery.identity import Made, is_allowed
from distillery.lot_marks import lots_behind
from distillery.models import Product
from distillery.standards import name_questions
from ledger.models import Lot, Movement
from ledger.plan import Question

INTO_WOOD = ("fill", "deposit")


def past_of(lot: Lot, day: date, *, bottled_proof: Decimal) -> Made:
    """What the book knows of *lot* on *day*: distillation and entry proof, woods and ages."""
    age = age_on(lot, day)
    woods = frozenset(wood for wood, _ in age.spells()) or frozenset({"none"})
    entered = entry_proof(lot)
    return Made(
        distilled_proof=None if lot.distilled_at is None else Decimal(lot.distilled_at) / 10,
        entry_proof=None if entered is None else Decimal(entered) / 10,
        bottled_proof=bottled_proof, woods=woods,
        oak=_tuple(age.total), new_oak=_tuple(age.new),
    )  # fmt: skip


def _tuple(span: object) -> tuple[int, int, int]:
    return (span.years, span.months, span.days)  # type: ignore[attr-defined]


def entry_proof(lot: Lot) -> int | None:
    """The highest proof, in tenths, at which anything of *lot* entered a barrel; None if none."""
    rows = Movement.objects.filter(
        to_lot__in=lots_behind(lot), to_vessel__kind="barrel", purpose__in=INTO_WOOD
    )
    return rows.aggregate(highest=Max("proof"))["highest"]


def naming_questions(product: Product, lot: Lot, day: date) -> tuple[Question, ...]:
    """Questions where the past of *lot* does not bear the name of *product*."""
    made = past_of(lot, day, bottled_proof=product.label_proof)
    return name_questions(product.family, product.type_code, made)


def age_question(stated: str, product: Product, lot: Lot, day: date) -> tuple[Question, ...]:
    """A question when the label's age is above the true one (27 CFR 5.74(a)(2)).

    Words that are no age, like "finished in casks", are left alone.
    """
    try:
        told = read(stated.lower().replace("old", "").replace("aged", ""))
    except ValueError:
        return ()
    true = counted_on(lot, day)
    name = f"{product.type_code} {product.family}"
    if not told or is_allowed(_tuple(told), _tuple(true), designation=name):
        return ()
    text = (
        f"The label says {told}; the youngest of lot {lot.code} is {true} old. An age may be "
        "understated, never overstated, nor below what the name asks (27 CFR 5.74(a)(2)). Say "
        "so all the same?"
    )
    return (Question("age-overstated", text),)
