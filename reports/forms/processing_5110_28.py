"""TTB F 5110.28, the processing report: bulk, finished goods, and the breakdown by kind.

Lines 1-36 and 44-47 were read in edition 08-2023 (same lines in 03/2016); 37-43 follow 27 CFR
19.601(b). Parts III and IV are from memory and marked so.
"""

from dataclasses import replace
from datetime import date

from reports.forms.processing_kinds import PART_III, PART_IV, RECEIVED
from reports.forms.shape import (
    INFERRED,
    READ,
    Column,
    Edition,
    Flow,
    Form,
    Line,
    Part,
    flow,
    numbers,
    only,
    other_than,
)


def _out(
    number: str, caption: str, ends: str, purpose: str, *, account: str, explain: bool = False,
    status: str = READ, note: str = "",
) -> Line:  # fmt: skip
    flows: tuple[Flow, ...] = (flow(account, ends, purpose, side="from"),)
    return Line(number, caption, flows, explain=explain, status=status, note=note)


def _bulk(number: str, caption: str, ends: str, purpose: str, **more: str | bool) -> Line:
    return _out(number, caption, ends, purpose, account="processing", **more)  # type: ignore[arg-type]


def _cases(number: str, caption: str, ends: str, purpose: str, **more: str | bool) -> Line:
    return _out(number, caption, ends, purpose, account="finished", **more)  # type: ignore[arg-type]


_MIX = flow("processing", "processing", "mix_wine", side="to", changes=True)
_MIXED_IN = flow("processing", "processing", "mix_wine", side="from", changes=True)
_ZONES = "vessels, zones and manufacturing warehouses put here by our reading"

PART_I = Part(
    "I",
    "Bulk ingredients",
    (
        Column("b", "Wine", only("class_code", "wine")),
        Column("c", "Spirits", other_than("class_code", "wine")),
    ),
    (
        Line("1", "On hand first of month", opening="processing"),
        Line("2", "Received, other than line 3", RECEIVED),
        Line("3", "Fuel alcohol from customs custody", note="not for a beverage plant"),
        Line("4", "Alcohol, flavor, materials dumped",
             (flow("materials", "processing", "flavor", side="to"),)),
        Line("5", "Wine mixed with spirits", (_MIX,), other_than("class_code", "wine")),
        Line("6", "Dumped for further processing",
             (flow("finished", "processing", "rework", side="to"),)),
        Line("7", "Gains", (flow("gain", "processing", "*", side="to"),)),
        Line("8", "Total, lines 1 to 7", sums=numbers(1, 7)),
        _bulk("9", "Bottled or packaged", "finished", "bottle|package"),
        Line("10", "Wine mixed with spirits", (_MIXED_IN,), only("class_code", "wine")),
        Line("11", "Used for denaturation", note="not for a beverage plant"),
        _bulk("12", "Transferred in bond", "other_plant", "ship"),
        _bulk("13", "Withdrawn tax determined", "tax_determined|taxpaid", "remove"),
        _bulk("14", "Withdrawn free of tax", "us|hospital", "remove"),
        _bulk("15", "Withdrawn without payment of tax: addition to wine", "winery", "remove"),
        _bulk("16", "Exportation and customs bonded warehouse", "export|cbw|vessels|ftz|cmw",
              "remove", note=_ZONES),
        _bulk("17", "To production account for redistillation", "redistil", "redistil"),
        _bulk("18", "Research, development or testing", "research", "sample"),
        _bulk("19", "Destroyed", "destroyed", "destroy"),
        Line("20", "Used for redistillation", note="see memo, part III"),
        _bulk("21", "(blank line)", "write_in", "other", explain=True),
        Line("22", "(blank line)"),
        Line("23", "(blank line)"),
        _bulk("24", "Losses", "loss|shortage", "*"),
        Line("25", "On hand end of month", closing="processing"),
        Line("26", "Total, lines 9 to 25", sums=numbers(9, 25)),
    ),
)  # fmt: skip

PART_II = Part(
    "II",
    "Finished products",
    (
        Column("b", "Bottled", other_than("form", "packaged")),
        Column("c", "Packaged", only("form", "packaged")),
    ),
    (
        Line("27", "On hand first of month", opening="finished"),
        Line("28", "Bottled or packaged",
             (flow("processing", "finished", "bottle|package", side="to"),)),
        Line("29", "Received", (flow("other_plant|customs", "finished", "receive", side="to"),)),
        Line("30", "Inventory overages", (flow("gain", "finished", "count", side="to"),)),
        Line("31", "Total, lines 27 to 30", sums=numbers(27, 30)),
        _cases("32", "Transferred in bond", "other_plant", "ship"),
        _cases("33", "Withdrawn tax determined", "tax_determined|taxpaid", "remove"),
        _cases("34", "Withdrawn free of tax", "us|hospital", "remove"),
        _cases("35", "Withdrawn without payment of tax: addition to wine", "winery", "remove"),
        _cases("36", "Exportation, vessels and aircraft, customs bonded warehouse",
               "export|vessels|cbw|ftz|cmw", "remove", note=_ZONES),
        _cases("37", "To production account for redistillation", "redistil", "redistil",
               status=INFERRED),
        _cases("38", "Research, development or testing", "research", "sample", status=INFERRED),
        _cases("39", "Destroyed", "destroyed", "destroy", status=INFERRED),
        _cases("40", "Dumped for further processing", "processing", "rework", status=INFERRED),
        _cases("41", "(blank line)", "write_in", "other", explain=True, status=INFERRED),
        Line("42", "(blank line)", status=INFERRED),
        Line("43", "(blank line)", status=INFERRED),
        _cases("44", "Recorded losses", "loss", "*"),
        _cases("45", "Inventory shortages", "shortage", "count"),
        Line("46", "On hand end of month", closing="finished"),
        Line("47", "Total, lines 32 to 46", sums=numbers(32, 46)),
    ),
)  # fmt: skip


IN_STILL = "in_still"  # what stands in a still of processing, while the plant files gross
_CHARGED = flow("processing", IN_STILL, "*", side="from")
_MADE = flow(IN_STILL, "processing", "*", side="to")
_MEMO = {"redistil_in": _CHARGED, "redistil_out": _MADE}


def gross(edition: Edition) -> Edition:
    """*edition* with line 20 filled: what goes into the still leaves, its product comes in.

    The other convention for spirits redistilled inside the account. No line that was read takes
    the product, so it goes on line 2, and the ties of that line to the other forms then differ
    by it; what a run loses is in neither line 24 nor 7, for it left on line 20. A plant that TTB
    told to file so sets it from a date on. ``reports.redistilled`` keeps the stills apart.
    """
    return replace(edition, parts=tuple(_gross_part(part) for part in edition.parts))


def _gross_part(part: Part) -> Part:
    lines = tuple(map(_gross, part.lines)) if part.part == "I" else part.lines
    columns = tuple(replace(one, flows=_memo(one.flows)) for one in part.columns)
    return replace(part, lines=lines, columns=columns)


def _gross(line: Line) -> Line:
    if line.number == "20":
        return replace(line, flows=(_CHARGED,), note="gross, by the plant's setting")
    return replace(line, flows=(*line.flows, _MADE)) if line.number == "2" else line


def _memo(flows: tuple[Flow, ...]) -> tuple[Flow, ...]:
    """The memo of part III takes a run's movements under their gross names as well."""
    more = [
        replace(_MEMO[purpose], purposes=(purpose,))
        for one in flows for purpose in one.purposes if purpose in _MEMO
    ]  # fmt: skip
    return (*flows, *more)


PARTS = (PART_I, PART_II, PART_III, PART_IV)

PROCESSING = Form(
    slug="processing",
    number="TTB F 5110.28",
    title="Processing operations",
    editions=(
        Edition("03/2016", date(2016, 3, 1), PARTS),
        Edition("08-2023", date(2023, 8, 1), PARTS),
    ),
    notes=(
        "Spirits redistilled inside the account cross no border: line 20 stays empty, the loss "
        "of the run is on line 24, and the memo in part III shows what went in and came out. "
        "Confirm this reading with TTB.",
    ),
)
