"""Records of processing: batches, the bottling line, bottles in their store."""

from distillery.models import BottlingRun
from tests.distillery.sequences.now import TANKS, Now, gauge

LINE = ("bottling_tank", "tank")
# Unlike spirits together are another kind, made by a formula (27 CFR 5.193).
MADE = {"family": "other", "formula": "1"}


def on_the_line(now: Now):
    """What stands in a vessel whose bottling is open; now and then in any."""
    if now.odd(6):
        return now.pick("processing", kinds=LINE)
    runs = BottlingRun.objects.filter(premises=now.world.premises, closed_by=None, is_void=False)
    open_in = set(runs.values_list("vessel", flat=True))
    return now.any([row for row in now.held("processing", kinds=LINE) if row.vessel_id in open_in])


def made(now: Now) -> dict[str, str]:
    return {} if now.odd(4) else MADE


def dump(now: Now):
    row = now.bulk("storage", kinds=(*TANKS, "barrel"))
    part = now.any([30, 100])
    source = {"vessel": row.vessel.code, **now.gauge(row, part=part), "part": part != 100}
    return {**made(now), "vessels": [source], "into": now.into("processing", "tank", "tote")}


def blend(now: Now):
    rows = [row for row in now.held("processing", kinds=TANKS) if row.wine_gallons > 50]
    parts = [{"vessel": row.vessel.code, "volume": now.measure(now.part(row.wine_gallons))}
             for row in now.some(rows, 3)]  # fmt: skip
    return {**made(now), "parts": parts, "into": now.empty("tank", "tote", "bottling_tank")}


def add_ingredients(now: Now):
    row = now.bulk("processing")
    sugar = now.used(now.material("sugar", "botanical"), 2000)
    return {"vessel": row.vessel.code, "materials": [sugar], "formula": "1", "name": "Cordial",
            "family": "other"}  # fmt: skip


def filter_(now: Now):
    row = now.bulk("processing")
    return {"vessel": row.vessel.code, "gauge": now.gauge(row), "medium": "pads"}


def open_bottling(now: Now):
    rows = [row for row in now.held("processing", kinds=LINE)
            if row.proof_gallons * 1000 >= row.wine_gallons * 780]  # fmt: skip
    row = now.any(rows)
    product, proof = now.any([("GIN-750", 900), ("VODKA-750", 800)])
    wine = max(50, row.proof_gallons * 1000 // proof)
    return {"vessel": row.vessel.code, "product": product, "gauge": gauge(wine, proof)}


def bottle(now: Now):
    row = on_the_line(now)
    fields = {"vessel": row.vessel.code, "store": now.any(["STORE", "STORE-2"]),
              "cases": str(now.dice.randint(1, 12)), "loose": "3"}  # fmt: skip
    if now.odd(2):
        bottles = now.material("bottle")
        fields["materials"] = [{"lot": bottles.lot.code, "used": "60", "scrapped": "1"}]
    return fields


def calibrate_filler(now: Now):
    return {"vessel": on_the_line(now).vessel.code, "line": "1",
            "temperature": "60 F", "proof": "90",
            "fills": [{"volume": "750 mL"}, {"volume": "751 mL"}]}  # fmt: skip


def bottle_check(now: Now):
    return {"vessel": on_the_line(now).vessel.code, "line": "1",
            "temperature": "60 F", "proof": "90", "tested": "2", "corrective_action": "slowed",
            "fills": [{"volume": "750 mL"}, {"volume": "748 mL"}]}  # fmt: skip


def close_bottling(now: Now):
    row = on_the_line(now)
    fields = {"vessel": row.vessel.code}
    return fields | ({"gauge": now.gauge(row), "rest_stays": True} if now.odd(2) else {})


def tip_back(now: Now):
    return {"vessel": on_the_line(now).vessel.code, "bottles": "2",
            "why": now.any(["low fill", "proof", "closure", "label", "other"]),
            "counted": now.odd(2), "store": "STORE", "corrected": "refilled"}  # fmt: skip


def package(now: Now):
    row = now.bulk("processing")
    each = max(30, min(1000, row.wine_gallons // 4))
    return {"vessel": row.vessel.code, "store": "STORE", "formula": "1",
            "packages": [{"number": "2", "kind": "keg", "each": now.measure(each)}]}  # fmt: skip


def rework(now: Now):
    row = now.pick("finished", stage="bottled")
    bottles = {"lot": row.lot.code, "store": row.vessel.code, "bottles": amount(now, row)}
    return {**made(now), "bottles": [bottles], "into": now.into("processing", "tank", "tote")}


def redistil_bottles(now: Now):
    row = now.pick("finished", stage="bottled")
    bottles = {"lot": row.lot.code, "store": row.vessel.code, "bottles": amount(now, row)}
    return {"bottles": [bottles], "into": now.into("redistil", "tank", "tote")}


def amount(now: Now, row) -> str:
    """Some bottles of a holding."""
    return str(min(now.part(row.amount), 60))


def bottled(now: Now):
    """A lot in a store, some of its bottles, and the numbers of its cases."""
    row = now.pick("finished", stage="bottled")
    return {"vessel": row.vessel.code, "lot": row.lot.code, "bottles": amount(now, row),
            "case_serials": "1"}  # fmt: skip


def move_cases(now: Now):
    fields = bottled(now)
    store = fields.pop("vessel")
    to = "STORE-2" if store == "STORE" else "STORE"
    return {"vessel": store, "to": to, "rows": [fields]}


def recase(now: Now):
    fields = bottled(now)
    store = fields.pop("vessel")
    kind = now.any(["cases", "mixed", "gift", "opened", "filled"])
    more = {} if kind in ("opened", "filled") else {"cases": "1", "per_case": "1", "letters": "P"}
    return {"vessel": store, "rows": [fields], "kind": kind, **more}


def reclose(now: Now):
    return bottled(now) | {"why": "corks leak"}


def relabel(now: Now):
    return bottled(now) | {"why": "torn", "label_approval": "00001"}


def break_bottles(now: Now):
    if now.odd(3):
        return {"vessel": on_the_line(now).vessel.code, "bottles": "1",
                "how": "jammed"}  # fmt: skip
    return bottled(now) | {"how": "fell", "seen_by": "bo"}


ACTS = {
    "dump": dump,
    "blend": blend,
    "add-ingredients": add_ingredients,
    "filter": filter_,
    "open-bottling": open_bottling,
    "bottle": bottle,
    "calibrate-filler": calibrate_filler,
    "bottle-check": bottle_check,
    "close-bottling": close_bottling,
    "tip-back": tip_back,
    "package": package,
    "rework": rework,
    "redistil-bottles": redistil_bottles,
    "move-cases": move_cases,
    "recase": recase,
    "reclose": reclose,
    "relabel": relabel,
    "break-bottles": break_bottles,
}
