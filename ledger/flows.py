"""The one table of allowed flows: (from account, to account, purpose).

The door refuses a movement that is not in it, so every movement is some report line's
business or openly no line's. The reports' lines name the same flows (reports/forms), and a
test proves that each flow across an account's border fills exactly one line out and one in.

Not in the table on purpose: processing to storage (27 CFR 19.351(c) forbids it at one plant).
"""

from itertools import product

LOSS_PURPOSES = (
    "dump", "empty", "count", "regauge", "leak", "spill", "fill", "filter", "reduce", "redistil",
    "bottling", "rework", "breakage", "theft", "missing", "run", "mingle", "rinse", "accident",
)  # fmt: skip
TAX_FREE = "us|hospital|export|ftz|cmw|vessels|winery"
_LOSS = "|".join(LOSS_PURPOSES)

# Each row: from, to, purposes; a bar separates alternatives.
_ROWS = [
    # materials and fermenting: no line on the three reports (27 CFR 19.584 daily records)
    ("supplier", "materials", "receive"),
    ("supplier", "fermenting", "receive"),
    ("opening", "materials|fermenting", "opening"),
    ("materials", "supplier|residue|loss|destroyed", "return|destroy|count"),
    ("gain", "materials|fermenting|taxpaid", "count"),
    ("materials", "materials", "move|mill|reclass"),
    ("materials", "residue", "mill"),
    ("residue", "materials", "backset"),
    # empties, closures and labels into bottles (27 CFR 19.603): counts only
    ("materials", "glass", "bottle|package"),
    ("materials", "loss", "breakage"),
    ("materials", "mashed", "mash|basket|batch"),
    ("mashed", "fermenting", "mash"),
    ("materials", "fermenting", "pitch"),
    ("water", "fermenting", "mash"),
    ("fermenting", "fermenting", "move|mingle"),
    ("other_plant", "fermenting", "receive"),
    ("fermenting", "other_plant|supplier", "ship"),
    ("fermenting", "residue|loss", "destroy|count|spill|move"),
    ("gain", "fermenting", "move"),
    ("fermenting", "production", "charge"),
    # production: unfinished spirits before the gauge
    ("opening", "production|redistil|storage|processing|finished|taxpaid", "opening"),
    ("production", "production", "cut|charge|move|reduce"),
    ("distilled", "production", "collect|run_balance"),
    ("production", "distilled", "run_balance"),
    ("production", "residue", "run"),
    ("materials", "production", "basket"),
    ("production", "loss", _LOSS),
    ("gain", "production", _LOSS),
    ("production", "destroyed", "destroy"),
    ("production", "storage|processing", "deposit"),
    ("production", "other_plant", "ship"),
    ("production", f"tax_determined|taxpaid|{TAX_FREE}", "remove"),
    ("production", "research", "sample"),
    # pulled before the production gauge: daily records only (27 CFR 19.585(a)(2), 19.616)
    ("production|redistil", "loss", "sample"),
    ("production", "write_in", "other"),
    # received for redistillation
    ("storage|processing|finished", "redistil", "redistil"),
    ("other_plant|customs", "redistil", "receive"),
    ("tax_determined|taxpaid", "redistil", "return"),
    ("redistil", "redistil", "move|mingle"),
    ("redistil", "production", "charge"),
    ("redistil", "storage", "return"),
    ("redistil", "write_in", "other"),
    ("redistil", "loss", _LOSS),
    ("gain", "redistil", _LOSS),
    ("redistil", "destroyed", "destroy"),
    # storage
    ("other_plant|customs|winery", "storage", "receive"),
    ("tax_determined|taxpaid", "storage", "return"),
    ("storage", "storage", "fill|move|mingle|reduce|regauge|reclass"),
    ("storage", "processing", "transfer"),
    ("storage", "other_plant", "ship"),
    ("storage", f"tax_determined|taxpaid|{TAX_FREE}|cbw", "remove"),
    ("storage", "research", "sample"),
    ("storage", "destroyed", "destroy"),
    ("storage", "write_in", "other"),
    ("storage", "loss|shortage", _LOSS),
    ("gain", "storage", _LOSS),
    # processing, bulk
    ("other_plant|customs|winery", "processing", "receive"),
    ("tax_determined|taxpaid", "processing", "return"),
    ("materials", "processing", "flavor"),
    (
        "processing",
        "processing",
        "blend|reduce|move|fill|redistil_in|redistil_out|mix_wine|reclass",
    ),
    ("processing", "finished", "bottle|package"),
    ("processing", "other_plant", "ship"),
    ("processing", f"tax_determined|taxpaid|{TAX_FREE}|cbw", "remove"),
    ("processing", "research", "sample"),
    ("processing", "destroyed", "destroy"),
    ("processing", "write_in", "other"),
    ("processing", "residue", "run"),
    ("processing", "loss|shortage", _LOSS),
    ("gain", "processing", _LOSS),
    # finished goods
    ("glass", "finished", "bottle|package|count"),
    ("finished", "glass", "count|breakage|rework"),
    ("other_plant|customs", "finished", "receive"),
    ("finished", "finished", "move|recase|relabel|reclass"),
    ("finished", "processing", "rework"),
    ("finished", "other_plant", "ship"),
    ("finished", f"tax_determined|taxpaid|{TAX_FREE}|cbw", "remove"),
    ("finished", "research", "sample"),
    ("finished", "destroyed", "destroy"),
    ("finished", "write_in", "other"),
    ("finished", "loss", _LOSS),
    ("finished", "shortage", "count"),
    ("gain", "finished", "count"),
    # beside the accounts
    ("other_plant|customs|winery", "loss", "transit"),
    ("gain", "other_plant|customs|winery", "transit"),
    ("taxpaid", "glass", "return"),
    ("taxpaid", "taxpaid", "move|relabel"),
    ("taxpaid", "sold|taxpaid_loss", "sell|pour|breakage|count|destroy"),
    ("supplier", "taxpaid", "receive"),
    # gallons that only contraction or water explains: no proof gallons
    ("water", "production|redistil|storage|processing", "reduce"),
    ("production|redistil|storage|processing|finished|fermenting", "contraction", "reduce"),
    ("contraction", "production|redistil|storage|processing|finished|fermenting", "reduce"),
]

Flow = tuple[str, str, str]


def _expand() -> frozenset[Flow]:
    flows: set[Flow] = set()
    for origins, ends, purposes in _ROWS:
        flows.update(product(origins.split("|"), ends.split("|"), purposes.split("|")))
    return frozenset(flows)


FLOWS: frozenset[Flow] = _expand()

# Boundaries that carry gallons or counts only; proof gallons may not pass them.
WITHOUT_PROOF_GALLONS = frozenset({"water", "contraction", "glass", "mashed", "residue"})
