"""What comes in bond: bulk at our gauge, packages, cases; and what the way took or gave.

27 CFR 19.407, 19.621, 19.462(c) and (d), 19.463, 19.581(g).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from distillery.bottled import labelled
from distillery.bottled_rows import bottles_of, told_count
from distillery.gauged_rows import gauge_of
from distillery.loss_limits import IN_TRANSIT, WINE_FAR, transit_test
from distillery.packages import gauge_step
from distillery.plans import gallons, pg, room_question, slip, tenths
from distillery.pouring import heel_in, pour
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.plan import Leg, NewLot, Place, Question, Slip
from ledger.quantities import to_hundredths

Fields = dict[str, Any]
MISSING = "missing"
TROUBLES = {
    MISSING: "missing", "tampered": "tampered with", "theft": "partly stolen", "leaking": "leaking",
}  # fmt: skip
PER_TAMPERED = 500  # hundredths of a proof gallon TTB may assess on each (27 CFR 19.463(b))


@dataclass(frozen=True, slots=True)
class Receipt:
    """What was found: legs, further lots, slips, lines and questions."""

    legs: tuple[Leg, ...]
    lots: tuple[NewLot, ...] = ()
    slips: tuple[Slip, ...] = ()
    lines: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()


def bulk(fields: Fields, look: Look, lot: NewLot) -> Receipt:
    """Into a tank at the gauge on receipt; onto a heel it opens a lot of both."""
    gauge, vessel = fields["gauge"], fields["vessel"]
    code = f"{lot.code}-mix" if fields["lot"] else "M-{n}"
    into = pour(
        look, vessel=vessel, account=fields["account"], sources=[lot], code=code, stage=lot.stage
    )
    wine, proof = gallons(gauge)
    leg = Leg(
        Place(fields["sender"], lot.code), into.place, "receive", 0, wine, proof,
        proof=tenths(gauge.proof),
    )  # fmt: skip
    heel = heel_in(look, vessel, fields["account"])
    lines: tuple[str, ...] = ()
    if heel and heel.lot.owner != lot.owner:
        lines = (f"{vessel.code} held spirits of another owner; the mixture names none.",)
    return Receipt(
        (*into.legs, leg), into.lots, (slip(gauge, "Gauge on receipt"),), lines,
        room_question(vessel, wine + into.heel_wine, look),
    )  # fmt: skip


def packages(fields: Fields, look: Look, lot: NewLot) -> Receipt:
    """Each barrel at its weight on receipt, or at the consignor's figures."""
    legs: dict[str, Leg] = {}
    slips = []
    for row in (row for row in fields["barrels"] if row["state"] != MISSING):
        code = row["barrel"].code
        if code in legs or heel_in(look, row["barrel"], fields["account"], field="barrels"):
            raise BadFact(f"{code} is not empty by the book, or stands twice.", field="barrels")
        to, away = Place(fields["account"], lot.code, code), Place(fields["sender"], lot.code)
        gauge = gauge_of(row, step=gauge_step(look))
        if gauge is None:
            three = (0, to_hundredths(row["wine_gallons"]), to_hundredths(row["proof_gallons"]))
            legs[code] = Leg(away, to, "receive", *three)
        else:
            slips.append(slip(gauge, f"{code} on receipt"))
            legs[code] = Leg(
                away, to, "receive", 0, *gallons(gauge), proof=tenths(gauge.proof)
            )  # fmt: skip
    if not legs:
        raise BadFact("No package arrived. There is nothing to receive.", field="barrels")
    lines, asked = _troubles(fields)
    return Receipt(
        tuple(legs.values()), (), tuple(slips), lines, (*_not_weighed(fields), *asked)
    )  # fmt: skip


def _not_weighed(fields: Fields) -> tuple[Question, ...]:
    """Asks where packages were taken unweighed and nothing exempts them."""
    rows = fields["barrels"]
    codes = [
        row["barrel"].code for row in rows
        if row["state"] != MISSING and not row["gauged"].is_gauged
    ]  # fmt: skip
    if not codes or fields["exemption"] or fields["seals"] == "intact":
        return ()
    text = (
        f"{', '.join(codes)}: packages are weighed on receipt unless they are sealed, the "
        "conveyance was secured, or TTB waived it (27 CFR 19.407, 19.621). Take the consignor's "
        "figures?"
    )
    return (Question("not-weighed", text),)


def _troubles(fields: Fields) -> tuple[tuple[str, ...], tuple[Question, ...]]:
    """A line for each package that was not as sent, and whether TTB was told."""
    lines = []
    for number, row in enumerate(fields["barrels"], 1):
        if row["state"]:
            name = row["package"] or (row["barrel"].code if row["barrel"] else f"row {number}")
            lines.append(f"Package {name}: {TROUBLES[row['state']]}. {row['found']}".rstrip())
    tampered = sum(row["state"] in ("tampered", "theft") for row in fields["barrels"])
    if tampered:
        lines.append(
            f"Without effective controls TTB may assess 5 PG on each, {pg(tampered * PER_TAMPERED)}"
            " (27 CFR 19.463(b))."
        )
    if not lines or fields["reported"]:
        return tuple(lines), ()
    text = f"{' '.join(lines)} TTB is told of it at once (27 CFR 19.462(c), 19.463). Record it?"
    return tuple(lines), (Question("report-packages", text),)


def cases(fields: Fields, look: Look, lots: Sequence[NewLot]) -> Receipt:
    """Full cases by their labels (27 CFR 19.286), a lot for each row."""
    legs, lines = [], []
    for row, lot in zip(fields["cases"], lots, strict=True):
        bottles = bottles_of(row, lot.per_case)
        away = Place(fields["sender"], lot.code)
        to = Place("finished", lot.code, row["store"].code)
        wine, proof = labelled(lot, bottles)
        legs.append(Leg(away, to, "receive", bottles, wine, proof))
        lines.append(f"{told_count(lot, bottles)} of {lot.name}: {pg(proof)}.")
    lines.append("Bottled elsewhere: no reduced rate of tax is assumed (26 U.S.C. 5001(c)).")
    return Receipt(tuple(legs), lines=tuple(lines))


def transit(
    fields: Fields, lot: str, *, wine: int, proof: int, is_wine: bool
) -> tuple[tuple[Leg, ...], tuple[str, ...], tuple[Question, ...]]:
    """What was lost or gained on the way: from boundary to boundary, in no account of ours."""
    consigned, sent = _consigned(fields)
    if consigned is None:
        return (), (), ()
    less = 0 if sent is None else sent - wine
    away, found = Place(fields["sender"], lot), consigned - proof
    percent = f"{abs(found) * 100 / consigned:.2f} % of {pg(consigned)} consigned"
    if found < 0:
        leg = Leg(Place("gain", lot), away, "transit", 0, max(0, -less), -found)
        return (leg,), (f"Gain in transit {pg(-found)}, {percent}.",), ()
    if found == 0:
        return (), ("Received what was consigned.",), ()
    taxed = fields["loss_taxed"] and fields["sender"] == "other_plant" and not is_wine
    leg = Leg(away, Place("loss", lot), "transit", 0, max(0, less), found, taxed=taxed)
    far = "; 2 % for wine from coast to coast" if is_wine else ""
    line = f"Loss in transit {pg(found)}, {percent}; the limit is 1 %{far} (27 CFR 19.462(d))."
    limit = WINE_FAR if is_wine and fields["from_coast_to_coast"] else IN_TRANSIT
    if not transit_test(consigned, proof, limit=limit).is_excessive:
        return (leg,), (line,), ()
    lines = (line, "The loss is excessive: report it to TTB promptly, and claim or pay the tax.")
    if fields["reported"]:
        return (leg,), lines, ()
    text = (
        f"{pg(found)} were lost in transit, {percent}. A loss above 1 %{far} is reported to TTB "
        "promptly (27 CFR 19.462(d)). Is the gauge right?"
    )
    return (leg,), lines, (Question("transit-loss-over-1", text),)


def _consigned(fields: Fields) -> tuple[int | None, int | None]:
    """(proof gallons, gallons) by the transfer record; packages tell them row by row."""
    proof, wine = fields["consigned"], fields["consigned_gallons"]
    rows = fields["barrels"]
    if proof is None and rows:
        proof = sum(row["proof_gallons"] for row in rows)
        wine = sum(row["wine_gallons"] for row in rows) if wine is None else wine
    return tuple(None if one is None else to_hundredths(one) for one in (proof, wine))  # type: ignore[return-value]
