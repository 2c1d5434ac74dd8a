"""Records of what leaves bond, comes back, is counted, lost, mended."""

from tests.distillery.sequences.acts_bottling import amount
from tests.distillery.sequences.now import TANKS, Now, gauge

BUYER = {"consignee": "Harbor Wholesale (invented)", "consignee_address": "3 Harbor Road"}


def remove(now: Now):
    told = {**BUYER, "document": f"INV-{now.number}-{now.dice.randrange(9)}", "initials": "ab"}
    told["to"] = now.any(["tax_determined", "tax_determined", "taxpaid", "export", "us",
                          "hospital", "ftz", "cmw", "cbw", "vessels", "winery"])  # fmt: skip
    told |= {"permit": "P-1", "seals": "7", "conveyance": "van"}
    if told["to"] == "taxpaid":
        told["shop"] = "SHOP"
    if told["to"] == "tax_determined" and now.odd(3):
        told |= {"not_gone": True, "stands_at": "dock"}
    if now.odd(3):
        row = now.bulk("storage", "processing")
        return told | {"vessel": row.vessel.code, "gauge": now.gauge(row, part=40),
                       "volume_reason": "no scale"}  # fmt: skip
    row = now.pick("finished", stage="bottled")
    rows = [{"lot": row.lot.code, "store": row.vessel.code, "bottles": amount(now, row)}]
    return told | {"rows": rows}


def invoices(now: Now):
    """Numbers of removals so far."""
    rows = now.world.premises.entries.filter(operation="remove").order_by("-number")
    return [row.document for row in rows[:8]]


def cancel_invoice(now: Now):
    return {"document": now.any(invoices(now)), "reason": "called off"}


def goods_gone(now: Now):
    return {"document": now.any(invoices(now)), "conveyance": "our van"}


def return_to_bond(now: Now):
    account = now.any(["processing", "redistil", "storage"])
    purpose = {"processing": "rebottling", "redistil": "redistillation",
               "storage": "reconditioning"}[account]  # fmt: skip
    lot = now.any(["K-A", *(row.lot.code for row in now.held("finished", stage="bottled"))])
    return {"returned_by": BUYER["consignee"], "document": f"RM-{now.number}", "lot": lot,
            "purpose": purpose, "account": account, "bottles": "6", "dumped": True,
            "vessel": now.into(account, "tank", "tote"), "gauge": gauge(118, 900),
            "tax_paid": "12.00", "removed_on": "2026-01-04"}  # fmt: skip


def return_for_relabel(now: Now):
    return {"returned_by": BUYER["consignee"], "document": f"RR-{now.number}", "lot": "K-A",
            "work": now.any(["relabel", "reclose"]), "cases": "1", "case_serials": "1",
            "label_approval": "00001", "consent": "ours", "done_at": now.at,
            "goes_to": BUYER["consignee"], "goes_on": "2026-02-01"}  # fmt: skip


def taxpaid_receive(now: Now):
    return {"supplier": BUYER["consignee"], "document": "H-7", "store": "SHOP",
            "name": "Gull rum (invented)", "family": "rum", "bottle_ml": "750",
            "per_case": "12", "proof": "80", "cases": "2"}  # fmt: skip


def taxpaid_sell(now: Now):
    row = now.pick("taxpaid")
    kind = now.any(["sell", "pour", "breakage", "destroy"])
    return {"kind": kind, "document": "T-1", "manner": "poured away before a witness",
            "rows": [{"lot": row.lot.code, "store": row.vessel.code, "bottles": "1"}]}  # fmt: skip


def destroy(now: Now):
    told = {"place": "yard", "manner": "burnt", "person": "Ada", "person_title": "distiller"}
    if now.odd(2):
        row = now.pick("finished", stage="bottled")
        one = {"lot": row.lot.code, "store": row.vessel.code, "bottles": amount(now, row)}
        return told | {"bottles": [one]}
    row = now.bulk("storage", "processing", "redistil", kinds=(*TANKS, "barrel"))
    part = now.any([40, 100])
    found = {"vessel": row.vessel.code, **now.gauge(row, part=part), "part": part != 100}
    return told | {"vessels": [found]}


def sample(now: Now):
    told = {"purpose": now.any(["laboratory", "research", "government", "customer", "tasting",
                                "market"]),
            "disposition": "used up", "recipient": "Bay Lab (invented)",
            "recipient_address": "4 Bay Road", "agreement": "A-1", "schedule": "S-1"}  # fmt: skip
    if now.odd(2):
        row = now.pick("finished", stage="bottled")
        return told | {"vessel": row.vessel.code, "lot": row.lot.code, "bottles": "1"}
    row = now.bulk("storage", "processing", "redistil", "production")
    return told | {"vessel": row.vessel.code, "volume": "200 mL"}


def lose(now: Now):
    cause = now.any(["spill", "leak", "accident", "breakage", "fill", "theft", "missing"])
    told = {"cause": cause, "found_how": "on the round", "reported": "by letter"}
    row = now.pick("storage", "processing", "redistil", "production", "finished", "fermenting",
                   "materials")  # fmt: skip
    told |= {"vessel": row.vessel.code, "lot": row.lot.code}
    if row.account == "materials":
        return told | {"amount": now.quantity(row)}
    if row.account == "finished":
        return told | {"bottles": amount(now, row)}
    return told | {"volume": now.measure(now.part(max(1, row.wine_gallons // 3)))}


def counted(now: Now, row):
    """One row of a count, a little off or as the book has it."""
    place = {"vessel": row.vessel.code}
    if row.account in ("finished", "taxpaid"):
        return place | {"lot": row.lot.code, "bottles": str(max(0, row.amount - now.any([0, 1])))}
    if now.odd(3) or row.account in ("materials", "fermenting") or row.wine_gallons < 50:
        return place | {"lot": row.lot.code, "as_book": True}
    return place | now.gauge(row)


def count(now: Now):
    rows = now.held("storage", "processing", "redistil", "finished", "taxpaid", "materials")
    chosen = now.some(rows)
    alone = {row.vessel_id if row.account not in ("finished", "taxpaid", "materials") else row.pk:
             row for row in chosen}  # fmt: skip
    return {"kind": "other", "rows": [counted(now, row) for row in alone.values()],
            "counter": "Ada", "counter_title": "distiller", "statement": True}  # fmt: skip


def notice(now: Now):
    kind = now.any(["inventory", "case-series", "records-elsewhere", "missing-packages",
                    "loss-in-transit", "theft", "broken-seals", "other"])  # fmt: skip
    return {"kind": kind, "how": "letter", "reference": "L-1", "text": "as told",
            "effective_from": now.at[:10]}  # fmt: skip


def reclass(now: Now):
    row = now.bulk("storage", "processing")
    family, at = now.any([("gin", ""), ("rum", "150"), ("brandy", "160")])
    return {"vessel": row.vessel.code, "family": family, "distilled_at": at,
            "reason": "wrong at receipt"}  # fmt: skip


def opening_balance(now: Now):
    return {"rows": [{"account": "storage", "vessel": now.empty("tank", "tote"),
                      "wine_gallons": "20", "proof_gallons": "30", "family": "rum",
                      "distilled_at": "150"}]}  # fmt: skip


def reverse(now: Now):
    return {"entry": str(now.any(now.entries()).number), "reason": "mistaken"}


def correct(now: Now):
    entry = now.any([one for one in now.entries() if one.movements.exists()])
    leg = now.any(list(entry.movements.order_by("leg")))
    fields = {"entry": str(entry.number), "leg": str(leg.leg), "reason": "misread"}
    if leg.wine_gallons:
        wine, proof = (now.part(max(1, n)) for n in (leg.wine_gallons, leg.proof_gallons))
        fields |= {"wine_gallons": now.measure(wine), "proof_gallons": f"{proof / 100:.2f} PG"}
    else:
        fields["amount"] = now.quantity(type("Row", (), {"lot": leg.to_lot, "amount": leg.amount}))
    return fields


ACTS = {
    "remove": remove,
    "cancel-invoice": cancel_invoice,
    "goods-gone": goods_gone,
    "return-to-bond": return_to_bond,
    "return-for-relabel": return_for_relabel,
    "taxpaid-receive": taxpaid_receive,
    "taxpaid-sell": taxpaid_sell,
    "destroy": destroy,
    "sample": sample,
    "lose": lose,
    "count": count,
    "notice": notice,
    "reclass": reclass,
    "opening-balance": opening_balance,
    "reverse": reverse,
    "correct": correct,
}
