"""Top up barrels from a sister barrel or a tank (27 CFR 19.326, 19.328)."""

from dataclasses import dataclass
from typing import Any

from distillery.drawing import draw
from distillery.forms import Part, QuantityField, RecordForm, RowsField, VesselField, YesField
from distillery.mingling import mingling_questions, youngest_text
from distillery.models import Barrel
from distillery.operations.base import Fields, Operation
from distillery.packages import day_of, wood_of
from distillery.plans import loss_or_gain, move, one_of, pg, place, wg
from distillery.pouring import TOGETHER, mingled
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.plan import Leg, NewLot, Place, Plan, Question
from ledger.quantities import to_hundredths

ACCOUNTS = ("storage", "processing")


class ToppedPart(Part):
    """One barrel and what was put into it."""

    barrel = VesselField("barrel", label="Barrel")
    volume = QuantityField("volume", above=1, label="Gallons put in")


class TopUpForm(RecordForm):
    """From where, and into which barrels."""

    vessel = VesselField("barrel", "tank", "tote", label="From")
    barrels = RowsField(ToppedPart, label="Barrels topped up")
    empties = YesField(label="It is empty afterwards; what the book still has there is lost")


@dataclass(frozen=True, slots=True)
class Topped:
    """One barrel: what it held, and hundredths that came to it."""

    heel: Held
    wine: int
    proof: int


class TopUp(Operation):
    """Of one lot nothing changes its name; else the barrel holds a new, mingled lot."""

    slug = "top-up"
    title = "Top up barrels"
    group = "Store"
    form = TopUpForm
    hazards = ("barrels", "ethanol_vapour")
    kinds = ("barrel", "tank", "tote")
    accounts = ACCOUNTS
    vessel_field = "vessel"
    is_rare = True

    def plan(self, fields: Fields, look: Look) -> Plan:
        """Heel and addition of each barrel to what it holds afterwards."""
        code = fields["vessel"].code
        look(code, *(row["barrel"].code for row in fields["barrels"]))
        source = one_of(look.in_account(code, *ACCOUNTS), code, field="vessel")
        rows = [_topped(row, source, look) for row in fields["barrels"]]
        if len({one.heel.vessel.code for one in rows}) != len(rows):
            raise BadFact("A barrel stands here twice. Give each one row.", field="barrels")
        lots = _lots(rows, source, look)
        legs = [leg for one in rows for leg in _legs(one, source, lots)]
        wine, proof = sum(one.wine for one in rows), sum(one.proof for one in rows)
        if fields["empties"]:
            legs += loss_or_gain(
                place(source), wine=wine - source.wine_gallons, proof=proof - source.proof_gallons,
                purpose="dump" if source.vessel.kind == "barrel" else "empty",
            )  # fmt: skip
        return Plan(
            tuple(legs), tuple(lots.values()),
            lines=(f"{wg(wine)}, {pg(proof)} from {code}.", *_told(rows)),
            questions=(*_asked(rows, source, lots, look), *_overfull(rows)),
        )  # fmt: skip


def _topped(row: dict[str, Any], source: Held, look: Look) -> Topped:
    code = row["barrel"].code
    if code == source.vessel.code:
        raise BadFact("A barrel is not topped up from itself.", field="barrels")
    heel = one_of(look.in_account(code, *ACCOUNTS), code, field="barrels")
    if heel.account != source.account:
        raise BadFact(
            f"{code} is in {heel.account}, {source.vessel.code} in {source.account}; processing "
            "gives nothing back to storage (27 CFR 19.351(c)).",
            field="barrels",
        )
    one = draw(source, volume_gal=row["volume"], field="barrels")
    return Topped(heel, one.wine, one.proof)


def _lots(rows: list[Topped], source: Held, look: Look) -> dict[str, NewLot]:
    """The new lot by the code of the lot that was topped up; the source's own lot has none."""
    lots: dict[str, NewLot] = {}
    for one in rows:
        old = one.heel.lot
        if old.code == source.lot.code or old.code in lots:
            continue
        lots[old.code] = mingled(
            [old, source.lot], f"M-{{n}}-{len(lots) + 1}" if lots else "M-{n}",
            account=source.account, stage=old.stage, day=day_of(look), field="barrels",
            wood=wood_of(look, one.heel.vessel, old),
        )  # fmt: skip
    return lots


def _legs(one: Topped, source: Held, lots: dict[str, NewLot]) -> list[Leg]:
    new = lots.get(one.heel.lot.code)
    to = Place(source.account, new.code if new else source.lot.code, one.heel.vessel.code)
    purpose = TOGETHER[source.account] if new else "move"
    added = Leg(place(source), to, purpose, 0, one.wine, one.proof, proof=source.proof_tenths)
    return [move(one.heel, to, purpose), added] if new else [added]


def _told(rows: list[Topped]) -> list[str]:
    return [
        f"{one.heel.vessel.code}: {wg(one.heel.wine_gallons + one.wine)} by the book, "
        f"{pg(one.heel.proof_gallons + one.proof)}."
        for one in rows
    ]


def _asked(
    rows: list[Topped], source: Held, lots: dict[str, NewLot], look: Look
) -> tuple[Question, ...]:
    """Asked once for each pair of lots that come together."""
    day, asked = day_of(look), list[Question]()
    told = []
    for old_code, new in lots.items():
        old = next(one.heel.lot for one in rows if one.heel.lot.code == old_code)
        asked += mingling_questions([old, source.lot], day)
        told.append(youngest_text([old, source.lot], new, day))
    if told:
        text = f"This mingles lots: {'; '.join(told)}. Was it topped up so?"
        asked.append(Question("top-up-mingles", text))
    return tuple({one.code: one for one in asked}.values())


def _overfull(rows: list[Topped]) -> tuple[Question, ...]:
    vessels = {one.heel.vessel.pk: one for one in rows}
    sheets = Barrel.objects.filter(vessel__in=vessels).select_related("vessel")
    full = [
        sheet.vessel.code
        for sheet in sheets
        if vessels[sheet.vessel_id].heel.wine_gallons + vessels[sheet.vessel_id].wine
        > to_hundredths(sheet.rated_gal) * 11 // 10
    ]
    if not full:
        return ()
    # A barrel keeps its filled gallons in the book, so what evaporated counts as still there.
    text = (
        f"{', '.join(full)}: with what was filled, more than a tenth above the rated capacity. "
        "The book books what evaporated at the dump. Keep it?"
    )
    return (Question("over-capacity", text),)
