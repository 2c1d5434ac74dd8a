"""An open bottling: which one a tank is in, what it has filled so far, and its finished lot."""

from collections import defaultdict
from datetime import datetime
from decimal import Decimal

from django.db.models import Q

from distillery.models import BottlingRun, Product
from distillery.plans import lot_like
from ledger.classes import CLASSES, class_for
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Lot, Movement, Premises, Vessel
from ledger.plan import NewLot


def runs_in(vessel: Vessel) -> list[BottlingRun]:
    """The bottlings of *vessel* that were not taken back, newest first."""
    rows = BottlingRun.objects.filter(vessel=vessel, is_void=False)
    return list(rows.select_related("product", "opened_by", "closed_by").order_by("-pk"))


def run_at(vessel: Vessel, at: datetime) -> BottlingRun:
    """The bottling that was open in *vessel* at a moment. Raises BadFact when none was."""
    for run in runs_in(vessel):
        if run.opened_by.happened_at <= at and (
            run.closed_by is None or at <= run.closed_by.happened_at
        ):
            return run
    raise BadFact(
        f"No bottling was open in {vessel.code} at that moment. Open it with its tank gauge "
        "(27 CFR 19.353).",
        field="vessel",
    )


def bottled_so_far(premises: Premises, code: str) -> tuple[dict[int, int], tuple[int, int]]:
    """What lot *code* has taken up: bottles by proof in tenths, and (wine, proof) gallons booked.

    Whatever was recorded counts, at whatever moment, so that a late day rounds with the rest.
    """
    rows = Movement.objects.filter(
        Q(from_account="glass") | Q(from_account="processing"),
        to_lot__premises=premises, to_lot__code=code, to_account="finished", purpose="bottle",
    ).select_related("to_lot")  # fmt: skip
    bottles: dict[int, int] = defaultdict(int)
    wine = proof = 0
    for row in rows:
        if row.amount and row.to_lot:
            bottles[row.proof or row.to_lot.label_proof or 0] += row.amount
        wine += row.wine_gallons
        proof += row.proof_gallons
    return dict(bottles), (wine, proof)


def class_of_product(product: Product, bulk: Lot) -> tuple[str, bool]:
    """(class code of *product* filled from *bulk*, whether the two agree).

    Neutral spirits may become vodka (27 CFR 5.142). Where the report's class divides by the
    distillation proof and the book has none, the lower band is taken and the two disagree.
    """
    code = bulk.designation.class_code
    family = CLASSES[code].family if code else ""
    if family == product.family:
        return code, True
    fitting = product.family == "vodka" and code == "spirits_190"
    proof = Decimal(bulk.distilled_at or 0) / 10
    return class_for(product.family, proof), fitting


def finished_lot(code: str, product: Product, bulk: Lot) -> NewLot:
    """The lot of bottles that a bottling of *product* from *bulk* opens."""
    class_code, _ = class_of_product(product, bulk)
    return lot_like(
        bulk, code, stage="bottled", unit="bottle", form="bottled", name=product.name,
        class_code=class_code, type_code=product.type_code, product=product.code,
        bottle_ml=product.bottle_ml, per_case=product.per_case,
        label_proof=int(product.label_proof * 10),
    )  # fmt: skip


def existing_lot(run: BottlingRun, look: Look) -> Lot | None:
    """The finished lot of *run* once its first bottles have opened it."""
    if run.lot_code not in look.codes_like(run.lot_code):
        return None
    return look.lot(run.lot_code)


def tank_of(run: BottlingRun, look: Look) -> Held:
    """What the tank of *run* holds; when the book has it empty, its last lot with nothing left.

    Raises BadFact when it holds several lots, or has drawn from none.
    """
    found = look.in_account(run.vessel.code, "processing")
    if len(found) == 1:
        return found[0]
    if found:
        return look.one(run.vessel.code, "processing")
    lot = last_lot(run, look)
    return Held(lot, run.vessel, "processing", 0, 0, 0, look.at)


def last_lot(run: BottlingRun, look: Look) -> Lot:
    """The bulk lot this bottling drew from last. Raises BadFact when it has drawn from none."""
    rows = Movement.objects.filter(
        from_account="processing", from_vessel=run.vessel, from_lot__isnull=False,
        at__range=(run.opened_by.happened_at, look.at),
    )  # fmt: skip
    row = rows.select_related("from_lot__designation").order_by("-pk").first()
    if row is None or row.from_lot is None:
        raise BadFact(f"The book has nothing to bottle in {run.vessel.code}.", field="vessel")
    look.lots[row.from_lot.code] = row.from_lot
    return row.from_lot
