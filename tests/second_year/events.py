"""One event, many lines: what happens in a plant, and the cells that it fills in this year.

Each event names the month, the operation that is its cause, and the cells, which stand worked
out in NN.cells. The pairing of events and lines follows the captions of TTB F 5110.40 (10-2021),
5110.11 and 5110.28 (08-2023), 27 CFR 19.590(c), 19.597, 19.599 and 19.601.
"""

from typing import NamedTuple


class Event(NamedTuple):
    """What happened, and (month, operation, cells) of each of its causes."""

    what: str
    causes: tuple[tuple[int, str, tuple[str, ...]], ...]


def _event(what: str, *causes: tuple[int, str, tuple[str, ...]]) -> Event:
    return Event(what, causes)


def _by(month: int, operation: str, *cells: str) -> tuple[int, str, tuple[str, ...]]:
    return month, operation, cells


EVENTS = [
    _event(
        "new make gauged and barrelled",
        _by(1, "production-gauge", "5110.40 I 11 b", "5110.40 I 14 b", "5110.40 III 1 b",
            "5110.11 domestic 2 b"),
        _by(2, "production-gauge", "5110.40 III 2 c"),
    ),
    _event(
        "new make gauged to a storage tank",
        _by(3, "production-gauge", "5110.40 I 11 b", "5110.40 I 14 b", "5110.40 III 3 d",
            "5110.11 domestic 2 b"),
    ),
    _event(
        "spirits straight to processing",
        _by(10, "production-gauge", "5110.40 I 9 j", "5110.40 I 14 j", "5110.40 II 1 b",
            "5110.28 I 2 c", "5110.28 IV 48 b"),
        _by(9, "production-gauge", "5110.40 I 9 h", "5110.28 IV 61 b"),
    ),
    _event(
        "heads and tails kept",
        _by(3, "collect", "5110.40 I 17b b"),
        _by(6, "count", "5110.40 I 17b b"),
    ),
    _event(
        "neutral spirits bought in bond and stored",
        _by(1, "receive-in-bond", "5110.11 domestic 2 j", "5110.11 imported 3 j"),
        _by(2, "receive-in-bond", "5110.11 puerto_rican 2 f", "5110.11 virgin_islands 2 f",
            "5110.11 imported 2 b"),
    ),
    _event(
        "bought in bond straight into processing",
        _by(5, "receive-in-bond", "5110.28 I 2 c", "5110.28 IV 49 b", "5110.28 IV 50 b"),
    ),
    _event(
        "barrel dumped for bottling",
        _by(1, "dump", "5110.11 domestic 17 b", "5110.11 domestic 22 b", "5110.28 I 2 c",
            "5110.28 IV 55 b"),
    ),
    _event(
        "storage spirits drawn for gin in production",
        _by(3, "draw-redistil", "5110.40 I 15 j", "5110.11 domestic 18 j", "5110.40 I 17a j"),
        _by(3, "charge", "5110.40 V 1-8 b [Alcohol and spirits, 190 proof and over, neutral "
            "spirits]"),
        _by(3, "production-gauge", "5110.40 I 9 g", "5110.40 I 14 g", "5110.28 I 2 c",
            "5110.28 IV 60 b"),
    ),
    _event(
        "gin by redistilling inside processing",
        _by(7, "dump", "5110.11 imported 17 j", "5110.28 I 2 c"),
        _by(7, "still-charge-processing", "5110.28 III memo b [Alcohol and spirits, 190 proof and "
            "over, neutral spirits, imported]"),
        _by(7, "still-collect-processing", "5110.28 III memo c [Gin, distilled gin, imported]",
            "5110.28 I 24 c"),
    ),
    _event("flavoring added", _by(5, "add-ingredients", "5110.28 I 4 c")),
    _event(
        "wine blended in",
        _by(5, "add-ingredients", "5110.11 domestic 17 l", "5110.28 I 2 b", "5110.28 I 10 b",
            "5110.28 I 5 c"),
    ),
    _event(
        "bottling",
        _by(2, "bottle", "5110.28 I 9 c", "5110.28 II 28 b", "5110.28 IV 55 c"),
        _by(2, "close-bottling", "5110.28 I 24 c"),
        _by(5, "package", "5110.28 II 28 c", "5110.28 II 46 c"),
    ),
    _event(
        "case sale and tasting-room stock",
        _by(2, "remove", "5110.28 II 33 b"),
        _by(7, "remove", "5110.28 II 33 c"),
    ),
    _event(
        "taxed in bulk",
        _by(1, "remove", "5110.11 domestic 7 f"),
        _by(5, "remove", "5110.28 I 13 c"),
        _by(9, "remove", "5110.40 I 1 f"),
    ),
    _event(
        "laboratory sample",
        _by(10, "sample", "5110.40 I 12 j"),
        _by(4, "barrel-sample", "5110.11 domestic 16 b"),
        _by(6, "sample", "5110.28 I 18 c"),
        _by(2, "sample", "5110.28 II 38 b"),
    ),
    _event(
        "export",
        _by(8, "remove", "5110.40 I 4 d"),
        _by(3, "remove", "5110.11 domestic 10 d"),
        _by(6, "remove", "5110.28 I 16 c"),
        _by(7, "remove", "5110.28 II 36 b"),
    ),
    _event(
        "sale in bond",
        _by(10, "ship-in-bond", "5110.40 I 10 j"),
        _by(6, "ship-in-bond", "5110.11 imported 19 j"),
        _by(7, "ship-in-bond", "5110.28 I 12 c", "5110.28 II 32 b"),
    ),
    _event(
        "free of tax, and without payment of tax",
        _by(10, "remove", "5110.40 I 2 j", "5110.40 I 3 j", "5110.40 I 6 j"),
        _by(8, "remove", "5110.40 I 5 d"),
        _by(9, "remove", "5110.40 I 7 f"),
        _by(6, "remove", "5110.40 I 8 d", "5110.28 I 15 c"),
        _by(2, "remove", "5110.11 domestic 8 f", "5110.11 domestic 9 j"),
        _by(3, "remove", "5110.11 domestic 11 d"),
        _by(4, "remove", "5110.11 domestic 12 c", "5110.11 domestic 13 f"),
        _by(5, "remove", "5110.11 domestic 14 d", "5110.11 domestic 15 f", "5110.28 I 14 c"),
        _by(7, "remove", "5110.28 II 34 b", "5110.28 II 35 b"),
    ),
    _event(
        "destruction",
        _by(6, "destroy", "5110.11 virgin_islands 20 f", "5110.28 I 19 c", "5110.28 II 39 b"),
    ),
    _event(
        "spill or leak",
        _by(2, "lose", "5110.11 virgin_islands 22 f"),
        _by(5, "package-loss", "5110.11 domestic 22 b"),
        _by(8, "lose", "5110.28 I 24 c"),
    ),
    _event("broken bottles", _by(6, "lose", "5110.28 II 44 b")),
    _event("count short, unexplained", _by(6, "count", "5110.28 II 45 b")),
    _event(
        "count over",
        _by(3, "count", "5110.11 domestic 5 j"),
        _by(6, "count", "5110.28 I 7 c", "5110.28 II 30 b"),
    ),
    _event("cases emptied back to bulk", _by(7, "rework", "5110.28 II 40 b", "5110.28 I 6 c")),
    _event(
        "bottles dumped for redistillation",
        _by(11, "redistil-bottles", "5110.28 II 37 b", "5110.40 I 15 g"),
    ),
    _event(
        "taxpaid goods returned",
        _by(7, "return-to-bond", "5110.28 I 2 c", "5110.28 IV 61 b", "5110.11 domestic 4 f"),
        _by(8, "return-to-bond", "5110.40 I 15 g", "5110.28 IV 55 b"),
    ),
    _event(
        "wrong kind mended",
        _by(7, "reclass", "5110.11 domestic 21 b", "5110.11 domestic 5 k"),
    ),
]  # fmt: skip

# Proof is reduced without a proof gallon; relabelling, papers and barrels move none.
WITHOUT_A_CELL = [
    "reduce", "return-for-relabel", "reclose", "notice", "goods-gone", "move-barrels",
    "barrel-care", "receive-barrels", "route-stillage", "spent-botanicals", "take-off-chemical",
]  # fmt: skip
