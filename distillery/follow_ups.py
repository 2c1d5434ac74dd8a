"""What is usually done after an act: every operation names it, so that nobody stands before a
page that leads nowhere.

The orders are those of the work itself (common practice, no source). A slug may carry the kind
of vessel the act was done at, where that decides: ``clean-vessel still``.
"""

AFTER = {
    # grain, mash, wash
    "receive-material": "mash mill",
    "mill": "mash",
    "mash": "pitch ferment-reading",
    "pitch": "ferment-reading",
    "move-wash": "ferment-reading charge",
    "receive-distilling-material": "charge pitch",
    "return-material": "receive-material",
    "destroy-material": "receive-material count",
    "scrap-supplies": "receive-material",
    "destroy-wash": "clean-vessel",
    "keep-backset": "mash clean-vessel",
    "route-stillage": "clean-vessel spent-botanicals",
    "clean-vessel": "transfer",
    "clean-vessel fermenter": "mash",
    "clean-vessel tun": "mash",
    "clean-vessel still": "charge load-basket",
    "clean-vessel receiver": "collect",
    # the still house
    "charge": "still-reading collect",
    "load-basket": "charge still-charge-processing",
    "run-on": "still-reading collect",
    "stop-still": "run-on close-run",
    "collect": "collect close-run",
    "close-run": "production-gauge clean-vessel",
    "spent-botanicals": "clean-vessel route-stillage",
    "take-off-chemical": "collect close-run",
    "production-gauge": "fill-barrels transfer",
    "retire-feints": "charge clean-vessel",
    "still-charge-processing": "still-reading still-collect-processing",
    "still-collect-processing": "still-collect-processing spent-botanicals",
    # the store
    "receive-in-bond": "transfer draw-redistil",
    "ship-in-bond": "ship-in-bond clean-vessel",
    "transfer": "reduce filter clean-vessel",
    "transfer bottling_tank": "open-bottling filter",
    "reduce": "filter open-bottling fill-barrels",
    "regauge": "regauge dump",
    "draw-redistil": "charge",
    "return-redistil": "transfer fill-barrels",
    "fill-barrels": "fill-barrels move-barrels",
    "dump-to-tank": "rinse reduce fill-barrels",
    "rinse": "barrel-care reduce",
    "receive-barrels": "barrel-care fill-barrels",
    "barrel-care": "fill-barrels move-barrels",
    "move-barrels": "move-barrels barrel-sample",
    "barrel-sample": "barrel-sample regauge",
    "top-up": "top-up move-barrels",
    "package-to-package": "barrel-care move-barrels",
    "package-loss": "notice move-barrels",
    "oak-or-caramel": "barrel-sample reduce",
    # processing and the bottling line
    "dump": "reduce open-bottling",
    "blend": "reduce filter open-bottling",
    "add-ingredients": "filter reduce open-bottling",
    "filter": "open-bottling",
    "open-bottling": "bottle-check bottle",
    "bottle": "bottle-check bottle close-bottling",
    "tip-back": "bottle close-bottling",
    "break-bottles": "bottle move-cases",
    "close-bottling": "remove clean-vessel",
    "package": "remove",
    "move-cases": "remove move-cases",
    "recase": "move-cases remove",
    "reclose": "move-cases remove",
    "relabel": "move-cases remove",
    "rework": "filter reduce open-bottling",
    "redistil-bottles": "charge",
    # out of bond and back
    "remove": "goods-gone remove",
    "goods-gone": "remove",
    "cancel-invoice": "remove",
    "return-to-bond": "filter reduce charge",
    "return-for-relabel": "return-for-relabel",
    "taxpaid-receive": "taxpaid-sell",
    "taxpaid-sell": "taxpaid-sell",
    "destroy": "notice clean-vessel",
    "sample": "sample",
    # counted and mended
    "count": "count lose",
    "lose": "notice count",
    "notice": "notice",
    "opening-balance": "opening-balance count",
    "reclass": "transfer",
    "reverse": "",  # the entry that was taken back leads on: pages/next_acts.py
    "correct": "",
}


def follow_ups(slug: str, kind: str = "") -> list[str]:
    """The slugs of what usually comes after an act done at a vessel of *kind*."""
    return AFTER.get(f"{slug} {kind}", AFTER.get(slug, "")).split()
