"""Receive in bond: the consignee's half of the transfer record, which is the deposit record.

27 CFR 19.407, 19.621; from customs custody and of wine from a bonded winery 19.322, 19.342.
"""

from typing import Any

from distillery import receipts
from distillery.drawing import BULK
from distillery.kinds import class_of
from distillery.operations.base import Fields, Operation
from distillery.plans import pg, tenths, wg
from distillery.receipt_form import ReceiveInBondForm
from distillery.receipts import Receipt
from distillery.signing import signed_line
from distillery.told_age import told_age
from ledger.classes import class_for
from ledger.plan import NewLot, Plan, Question


class ReceiveInBond(Operation):
    """Spirits of another plant, at our gauge, into storage, processing or for redistillation."""

    slug = "receive-in-bond"
    title = "Receive in bond"
    group = "Store"
    form = ReceiveInBondForm
    hazards = ("ethanol_vapour", "lifting")
    kinds = BULK
    accounts = ("", "storage", "processing", "redistil")
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """The receipt at what was found, and the difference in transit outside the account."""
        lots = _lots(fields, look)
        found = _received(fields, look, lots)
        incoming = [leg for leg in found.legs if leg.purpose == "receive"]
        wine = sum(leg.wine_gallons for leg in incoming)
        proof = sum(leg.proof_gallons for leg in incoming)
        legs, lines, asked = receipts.transit(
            fields, lots[0].code, wine=wine, proof=proof, is_wine=fields["family"] == "wine"
        )
        told = f"{wg(wine)}, {pg(proof)} from {fields['consignor']} ({fields['registry']})."
        return Plan(
            (*found.legs, *legs), (*lots, *found.lots), document=fields["document"],
            slips=found.slips,
            lines=(told, *found.lines, *lines, *_papers(fields)),
            questions=(*found.questions, *asked, *_seals(fields)),
        )  # fmt: skip


def _received(fields: Fields, look: Any, lots: tuple[NewLot, ...]) -> Receipt:
    if fields["cases"]:
        return receipts.cases(fields, look, lots)
    act = receipts.packages if fields["barrels"] else receipts.bulk
    return act(fields, look, lots[0])


def _lots(fields: Fields, look: Any) -> tuple[NewLot, ...]:
    if not fields["cases"]:
        return (_lot(fields, look),)
    return tuple(
        _bottled(fields, row, number, look) for number, row in enumerate(fields["cases"], 1)
    )


def _facts(fields: Fields) -> dict[str, Any]:
    """What every lot received here has in common."""
    proof, material = fields["distilled_at"], fields["material"]
    return {
        "source": fields["source"] or "domestic", "owner": fields["owner"],
        "material": material.kind if material else "",
        "distilled_at": None if proof is None else tenths(proof),
        "producer": fields["producer"] or f"{fields['consignor']} {fields['registry']}",
        "state": fields["state"], "reduced_rate": not (fields["full_rate"] or fields["cases"]),
    }  # fmt: skip


def _lot(fields: Fields, look: Any) -> NewLot:
    barrels = [row["barrel"] for row in fields["barrels"] if row["barrel"]]
    stage = "wine" if fields["family"] == "wine" else "spirits"
    name = fields["name"] or (fields["type_code"] or fields["family"]).capitalize()
    return NewLot(
        fields["lot"] or "N-{n}", stage, "pg", name,
        class_code=class_of(fields), type_code=fields["type_code"], **_facts(fields),
        **told_age(fields, barrels, look, field="aged_from"),
    )  # fmt: skip


def _bottled(fields: Fields, row: dict[str, Any], number: int, look: Any) -> NewLot:
    product = row["product"]
    is_told = fields["distilled_at"] is not None or fields["band"]
    low = {**fields, "family": product.family}
    suffix = f"-{number}" if len(fields["cases"]) > 1 else ""
    return NewLot(
        row["lot"] or f"N-{{n}}{suffix}", "bottled", "bottle", product.name,
        class_code=class_of(low) if is_told else class_for(product.family, 0),
        type_code=product.type_code, form="bottled", product=product.code,
        bottle_ml=product.bottle_ml, per_case=product.per_case,
        label_proof=tenths(product.label_proof), **_facts(fields),
        **told_age(fields, [], look, field="aged_from"),
    )  # fmt: skip


def _papers(fields: Fields) -> list[str]:
    lines = []
    if fields["sender"] == "other_plant" and not fields["application"]:
        lines.append("No TTB F 5100.16 of ours is named (27 CFR 19.403, 19.621).")
    if fields["source"] == "imported" and not fields["duty_rate"]:
        lines.append("The record of imported spirits tells the rate of duty (27 CFR 19.581(k)).")
    if fields["owner"]:
        lines.append(f"Held for {fields['owner']}.")
    return [*lines, signed_line(fields, "27 CFR 19.621")]


def _seals(fields: Fields) -> tuple[Question, ...]:
    if fields["seals"] != "broken" or fields["reported"]:
        return ()
    text = (
        "Broken seals are told to TTB before unloading, and barrels are weighed (27 CFR 19.407, "
        "19.621). Was that done?"
    )
    return (Question("seals-broken", text),)
