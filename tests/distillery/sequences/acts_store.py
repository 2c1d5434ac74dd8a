"""Records of storage: tanks, barrels, transfers in bond."""

from tests.distillery.sequences.now import TANKS, Now, gauge

ELSEWHERE = {"registry": "DSP-XX-99999"}


def barrel(now: Now):
    """A barrel with spirits in it."""
    return now.pick("storage", kinds=["barrel"])


def transfer(now: Now):
    row = now.bulk("storage", "processing", "production", "redistil")
    fields = {"vessel": row.vessel.code, "to": now.into(row.account, "tank", "tote", "receiver")}
    if now.odd(2):
        return fields | {"empties": True}
    return fields | {"volume": now.measure(now.part(row.wine_gallons))}


def reduce(now: Now):
    row = now.bulk("storage", "processing", "redistil")
    water = 100 * now.dice.randint(1, 20)
    wine = row.wine_gallons + water
    proof = row.proof_gallons * 1000 // wine
    return {
        "vessel": row.vessel.code,
        "water": now.measure(water),
        "gauge": gauge(wine, max(10, proof)),
    }


def regauge(now: Now):
    row = now.bulk("storage", "processing", "redistil", kinds=(*TANKS, "barrel"))
    return {"vessels": [{"vessel": row.vessel.code, **now.gauge(row)}], "why": "unusual",
            "explanation": "it looked low"}  # fmt: skip


def oak_or_caramel(now: Now):
    row = now.bulk("storage", kinds=("tank", "tote", "barrel"))
    return {"vessel": row.vessel.code, "what": now.any(["OC", "BSA"]), "quantity": "2 lb",
            "kind": "toasted oak"}  # fmt: skip


def fill_barrels(now: Now):
    row = now.bulk("storage", kinds=("tank", "tote"))
    barrels = [{"barrel": now.empty("barrel"), "volume": f"{now.dice.randint(5, 14)} gal"}]
    return {"vessel": row.vessel.code, "barrels": barrels}


def dump_to_tank(now: Now):
    rows = [{"vessel": row.vessel.code, **now.gauge(row)}
            for row in now.some(now.held("storage", kinds=["barrel"]))]  # fmt: skip
    return {"vessels": rows, "into": now.into("storage", "tank", "tote")}


def package_to_package(now: Now):
    row = barrel(now)
    new = {"old": row.vessel.code, "vessel": now.empty("barrel")}
    if now.odd(2):
        new |= now.gauge(row, part=50)
        new["part"] = now.odd(2)
    return {"packages": [new]}


def package_loss(now: Now):
    row = barrel(now)
    cause = now.any(["leak", "accident", "missing", "theft"])
    found = {"vessel": row.vessel.code}
    if cause in ("leak", "accident"):
        found |= now.gauge(row, part=80)
    return {"packages": [found], "cause": cause, "found_how": "on the round",
            "reported": "by letter"}  # fmt: skip


def barrel_care(now: Now):
    done = now.any(["swelled", "prepared", "recharred", "repaired", "weighed", "sold", "retired",
                    "back"])  # fmt: skip
    return {"barrels": now.empty("barrel"), "done": done, "hours": "24 hours",
            "tare": "51 lb", "whom": "Dune Cooperage (invented)", "words": "sound"}  # fmt: skip


def move_barrels(now: Now):
    return {"barrels": barrel(now).vessel.code, "place": f"Rack {now.dice.randint(1, 9)}"}


def receive_barrels(now: Now):
    code = f"X-{now.number}-{now.dice.randrange(100)}"
    return {"barrels": code, "cooper": "Dune Cooperage (invented)", "rated": "15 gal",
            "cooperage": now.any(["C", "REC", "P", "R"]), "tare": "50 lb",
            "held_before": "wine"}  # fmt: skip


def rinse(now: Now):
    account = now.any(["storage", "processing"])
    return {"barrels": now.any(now.emptied("barrel")), "water": "1 gal", "account": account,
            "into": now.into(account, "tank", "tote"), "gauge": gauge(95, 300)}  # fmt: skip


def barrel_sample(now: Now):
    return {"samples": [{"barrel": barrel(now).vessel.code, "volume": "100 mL"}],
            "purpose": now.any(["laboratory", "research", "returned"]),
            "disposition": "looked at", "recipient": "Bay Lab (invented)",
            "schedule": "S-1"}  # fmt: skip


def top_up(now: Now):
    row = now.pick("storage", kinds=["barrel", "tank", "tote"])
    to = now.any([one for one in now.held("storage", kinds=["barrel"]) if one != row])
    return {"vessel": row.vessel.code,
            "barrels": [{"barrel": to.vessel.code, "volume": "0.5 gal"}]}  # fmt: skip


def receive_in_bond(now: Now):
    wine = now.dice.randint(500, 9000)
    account = now.any(["storage", "processing", "redistil"])
    return {**ELSEWHERE, "consignor": "Skerry (invented)", "document": f"TR-{now.number}",
            "consigned": f"{wine * 19 // 1000}.0 PG", "seals": "intact", "account": account,
            "vessel": now.into(account, "tank", "tote"), "gauge": gauge(wine, 1900),
            "source": now.any(["domestic", "imported", "puerto_rican", "virgin_islands"]),
            "family": "spirits", "distilled_at": "190", "duty_rate": "13.34"}  # fmt: skip


def ship_in_bond(now: Now):
    told = {**ELSEWHERE, "consignee": "Skerry (invented)", "seals": "7"}
    if now.odd(3):
        bottles = now.pick("finished", stage="bottled")
        row = {"lot": bottles.lot.code, "store": bottles.vessel.code, "bottles": "3"}
        return told | {"rows": [row]}
    if now.odd(2):
        return told | {"vessels": [{"vessel": barrel(now).vessel.code}], "sealed": True}
    row = now.bulk("storage", "processing")
    part = now.any([30, 100])
    found = {"vessel": row.vessel.code, **now.gauge(row, part=part), "part": part != 100}
    return told | {"vessels": [found]}


ACTS = {
    "transfer": transfer,
    "reduce": reduce,
    "regauge": regauge,
    "oak-or-caramel": oak_or_caramel,
    "fill-barrels": fill_barrels,
    "dump-to-tank": dump_to_tank,
    "package-to-package": package_to_package,
    "package-loss": package_loss,
    "barrel-care": barrel_care,
    "move-barrels": move_barrels,
    "receive-barrels": receive_barrels,
    "rinse": rinse,
    "barrel-sample": barrel_sample,
    "top-up": top_up,
    "receive-in-bond": receive_in_bond,
    "ship-in-bond": ship_in_bond,
}
