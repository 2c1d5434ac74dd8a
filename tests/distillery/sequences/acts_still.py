"""Records of the still house: runs, cuts, the gauge that ends production, redistilling."""

from tests.distillery.sequences.acts_mash import past_run
from tests.distillery.sequences.now import TANKS, Now, gauge


def charge(now: Now):
    rows = now.held("fermenting", kinds=["fermenter", "tank"])
    rows += [row for row in now.held("production", "redistil", kinds=TANKS) if row.wine_gallons]
    sources = []
    for row in now.some(rows, 2):
        source = {"vessel": row.vessel.code}
        if now.odd(2):
            source["volume"] = now.measure(now.part(row.wine_gallons))
        sources.append(source)
    return {"still": now.empty("still"), "sources": sources, "family": "whisky",
            "type_code": "bourbon"}  # fmt: skip


def still_with(now: Now, account: str):
    """A run that stands in its still."""
    return now.pick(account, kinds=["still"], stage="run")


def collect(now: Now):
    run = still_with(now, "production")
    wine, proof = now.dice.randint(50, 3000), now.dice.randint(300, 1600)
    return {"still": run.vessel.code, "into": now.into("production", "receiver", "tank"),
            "fraction": now.any(["foreshots", "heads", "hearts", "tails", "low wines"]),
            "gauge": gauge(wine, proof)}  # fmt: skip


def close_run(now: Now):
    return {"still": still_with(now, "production").vessel.code}


def load_basket(now: Now):
    run = still_with(now, now.any(["production", "processing"]))
    juniper = now.used(now.material("botanical"), 100000)
    return {"still": run.vessel.code, "botanicals": [juniper]}


def spent_botanicals(now: Now):
    return {"still": now.any(["POT", "COL"]), "run": past_run(now), "weight": "900 g",
            "fate": now.any(["compost", "bin", "feed", "rinsed"]), "place": "heap"}  # fmt: skip


def stop_still(now: Now):
    return {"still": now.pick("production", "processing", kinds=["still"]).vessel.code,
            "why": "cut"}  # fmt: skip


def still_reading(now: Now):
    return {"still": now.pick("production", "processing", kinds=["still"]).vessel.code,
            "temperature": f"{now.dice.randint(172, 208)} F", "reading": "140",
            "reading_temperature": "66 F"}  # fmt: skip


def run_on(now: Now):
    return {"still": now.pick("production", "processing", kinds=["still"]).vessel.code}


def take_off_chemical(now: Now):
    return {"still": now.any(["POT", "COL"]), "run": past_run(now), "name": "ethyl acetate",
            "kind": now.any(["fusel oil", "chemical", "extraneous distillate"]),
            "volume": "1 gal", "disposition": "burnt", "test_abv": "5 %"}  # fmt: skip


def production_gauge(now: Now):
    row = now.bulk("production")
    account = now.any(["storage", "processing"])
    fields = {"vessel": row.vessel.code, "account": account, "gauge": now.gauge(row),
              "family": "whisky", "type_code": "bourbon", "distilled_at": "158",
              "material": "corn", "state": "XX"}  # fmt: skip
    if account == "storage" and now.odd(2):
        fields["barrels"] = [{"barrel": now.empty("barrel"), "volume": "10 gal"}]
        fields["rest_stays"] = True
        fields["gauge"] = gauge(1000, max(10, row.proof_gallons * 1000 // row.wine_gallons))
    else:
        fields["into"] = now.empty("tank", "tote")
    return fields


def retire_feints(now: Now):
    row = now.bulk("production")
    return {"vessel": row.vessel.code, "volume": now.measure(now.part(row.wine_gallons)),
            "fate": now.any(["destroyed", "cleaning", "extraneous"]), "manner": "poured away",
            "place": "drain", "person": "Ada", "person_title": "distiller"}  # fmt: skip


def draw_redistil(now: Now):
    row = now.bulk("storage", "processing", kinds=(*TANKS, "barrel"))
    return {"vessel": row.vessel.code, "gauge": now.gauge(row, part=now.any([20, 50, 100])),
            "to": now.into("redistil", "tank", "tote")}  # fmt: skip


def return_redistil(now: Now):
    row = now.bulk("redistil")
    fields = {"vessel": row.vessel.code, "empties": True}
    if now.odd(2):
        fields = {"vessel": row.vessel.code, "volume": now.measure(now.part(row.wine_gallons)),
                  "to": now.empty("tank", "tote")}  # fmt: skip
    return fields | {"why": "not needed"}


def still_charge_processing(now: Now):
    row = now.bulk("processing")
    volume = now.measure(min(3000, now.part(row.wine_gallons)))
    return {"still": now.empty("still"), "formula": "1", "water": "10 gal",
            "sources": [{"vessel": row.vessel.code, "volume": volume}]}  # fmt: skip


def still_collect_processing(now: Now):
    run = still_with(now, "processing")
    part = now.any([20, 40, 60])
    output = {"vessel": now.into("processing", "tank"), "what": now.any(["spirits", "feints"]),
              "family": "gin", "type_code": "distilled gin",
              **gauge(max(30, run.wine_gallons * part // 100), 800)}  # fmt: skip
    return {"still": run.vessel.code, "outputs": [output], "ends": now.odd(2)}


ACTS = {
    "charge": charge,
    "collect": collect,
    "close-run": close_run,
    "load-basket": load_basket,
    "spent-botanicals": spent_botanicals,
    "stop-still": stop_still,
    "run-on": run_on,
    "still-reading": still_reading,
    "take-off-chemical": take_off_chemical,
    "production-gauge": production_gauge,
    "retire-feints": retire_feints,
    "draw-redistil": draw_redistil,
    "return-redistil": return_redistil,
    "still-charge-processing": still_charge_processing,
    "still-collect-processing": still_collect_processing,
}
