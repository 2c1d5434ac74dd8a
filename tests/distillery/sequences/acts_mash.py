"""Records of the grain and the mash, made from what stands in the plant now."""

from distillery.models import Reading
from tests.distillery.sequences.now import Now


def receive_material(now: Now):
    code, unit = now.any([("CORN", " lb"), ("YEAST", " g"), ("JUNIPER", " g"), ("BOTTLE", ""),
                          ("SUGAR", " lb")])  # fmt: skip
    return {"material": code, "quantity": f"{now.dice.randint(1, 4000)}{unit}",
            "vessel": now.any(["BIN-1", "BIN-3", "SHELF"]),
            "supplier": "Dune Grain (invented)"}  # fmt: skip


def destroy_material(now: Now):
    row = now.material()
    return {"vessel": row.vessel.code, "lot": row.lot.code, "quantity": now.quantity(row),
            "fate": now.any(["destroyed", "scrapped", "fed"]), "manner": "burnt",
            "place": "yard", "person": "Ada", "person_title": "distiller"}  # fmt: skip


def return_material(now: Now):
    row = now.material()
    return {"vessel": row.vessel.code, "lot": row.lot.code, "quantity": now.quantity(row),
            "why": "wet"}  # fmt: skip


def scrap_supplies(now: Now):
    row = now.material("bottle", "closure", "carton")
    return {"rows": [{"lot": row.lot.code, "scrapped": str(now.dice.randint(1, 60)),
                      "vessel": row.vessel.code}],
            "disposition": now.any(["broken", "unfit", "supplier"]),
            "place_and_manner": "skip, crushed"}  # fmt: skip


def mash(now: Now):
    grain = now.material("grain")
    fields = {"grains": [now.used(grain, 60000)], "into": now.empty("fermenter"),
              "wash": f"{now.dice.randint(40, 240)} gal"}  # fmt: skip
    if now.odd(2):
        fields["enzymes"] = [now.used(now.material("enzyme"), 30000)]
    return fields


def mill(now: Now):
    grain = now.material("grain")
    return {"grains": [now.used(grain, 90000)], "into": now.any(["BIN-1", "BIN-3", "SHELF"])}


def pitch(now: Now):
    wash = now.pick("fermenting", kinds=["fermenter"])
    return {"vessel": wash.vessel.code, "yeasts": [now.used(now.material("yeast"), 90000)]}


def ferment_reading(now: Now):
    wash = now.pick("fermenting", kinds=["fermenter"])
    return {"vessel": wash.vessel.code, "gravity": f"1.0{now.dice.randint(10, 80)}",
            "temperature": f"{now.dice.randint(60, 95)} F", "ph": "4.6"}  # fmt: skip


def void_reading(now: Now):
    rows = Reading.objects.filter(premises=now.world.premises, void=None).order_by("-pk")[:6]
    return {"reading": now.any(list(rows)).key, "reason": "read of another vessel"}


def move_wash(now: Now):
    wash = now.pick("fermenting")
    source = {"vessel": wash.vessel.code}
    if now.odd(2):
        source |= {"volume": now.measure(now.part(wash.wine_gallons)), "rest_stays": True}
    return {"sources": [source], "into": now.into("fermenting", "fermenter", "tank")}


def destroy_wash(now: Now):
    wash = now.pick("fermenting")
    return {"vessel": wash.vessel.code, "volume": now.measure(now.part(wash.wine_gallons)),
            "fate": now.any(["destroyed", "lees", "fed", "removed", "returned"]),
            "manner": "to the drain", "why": "sour", "consignee": "Dune Farm (invented)",
            "consignee_address": "1 Dune Road", "consignee_number": "DSP-XX-99999",
            "person": "Ada"}  # fmt: skip


def receive_distilling_material(now: Now):
    return {"kind": now.any(["beer", "wash", "wine", "cider", "other"]),
            "volume": f"{now.dice.randint(10, 90)} gal", "abv": "7 %",
            "taxed": now.any(["untaxed", "tax-determined", "not-taxable"]), "name": "What came",
            "consignor": "Inlet Brewing (invented)", "consignor_address": "2 Inlet Road",
            "consignor_number": "BR-XX-1", "made_of": "malt", "papers": "P-1",
            "into": now.into("fermenting", "fermenter", "tank")}  # fmt: skip


def past_run(now: Now):
    return now.any(now.past_lots("run")).code


def keep_backset(now: Now):
    return {"run": past_run(now), "volume": f"{now.dice.randint(5, 40)} gal",
            "into": now.into("materials", "tank", "tote", "tun")}  # fmt: skip


def route_stillage(now: Now):
    return {"run": past_run(now), "volume": f"{now.dice.randint(5, 40)} gal",
            "route": now.any(["feed", "field", "sewer", "hauler", "compost"]),
            "to_name": "Dune Farm (invented)"}  # fmt: skip


def clean_vessel(now: Now):
    kinds = ("fermenter", "tank", "tote", "receiver", "still", "tun")
    return {"vessel": now.empty(*kinds), "steps": [{"what": "caustic, 20 minutes"}],
            "is_ready": True}  # fmt: skip


ACTS = {
    "receive-material": receive_material,
    "destroy-material": destroy_material,
    "return-material": return_material,
    "scrap-supplies": scrap_supplies,
    "mash": mash,
    "mill": mill,
    "pitch": pitch,
    "ferment-reading": ferment_reading,
    "void-reading": void_reading,
    "move-wash": move_wash,
    "destroy-wash": destroy_wash,
    "receive-distilling-material": receive_distilling_material,
    "keep-backset": keep_backset,
    "route-stillage": route_stillage,
    "clean-vessel": clean_vessel,
}
