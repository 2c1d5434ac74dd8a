"""The lines against the table of flows: nothing falls between two lines or into both.

line_flows.json says, line by line, which flow each caption means. It was worked out from the
captions of TTB F 5110.40 (10-2021) and 5110.28 (08-2023), the order of withdrawals in 27 CFR
19.590(c) and 19.601, and the receipts of 19.322 and 19.597, apart from the code.
"""

import json
from itertools import product
from pathlib import Path

import pytest

from ledger.classes import CLASSES, SOURCES
from ledger.flows import FLOWS
from ledger.models import Designation
from reports.facts import facts_of
from reports.filling import meets
from reports.forms import FORMS

EXPECTED = json.loads((Path(__file__).parent / "line_flows.json").read_text())
LATEST = {form.number[-7:]: form.editions[-1].parts for form in FORMS.values()}
PARTS = {(form, part.part): part for form, parts in LATEST.items() for part in parts}

# What moves gallons without alcohol, or feeds the opening line: no line of its own.
NO_LINE = {"water", "contraction", "glass", "opening"}
# Water left in a still after a run inside processing: gallons only, too.
WATER_ONLY = {("processing", "residue", "run")}
# Before the gauge, or lost while waiting for the still: daily records only (27 CFR 19.585).
DAILY = {
    (origin, end)
    for origin in ("production", "redistil")
    for end in ("loss", "residue", "destroyed", "distilled")
}


def lines_of(form, part, flow, *, end):
    """The lines of a part that take *flow* into (or out of) its account."""
    origin, to, purpose = flow
    taking = []
    for line in PARTS[form, part].lines:
        for one in line.flows:
            if one.takes(origin, to, purpose) and one.side == end:
                taking.append(line.number)
    return taking


@pytest.mark.parametrize(
    ("form", "part", "account"),
    [("5110.11", "", "storage"), ("5110.28", "I", "processing"), ("5110.28", "II", "finished")],
)
def test_each_flow_across_an_account_fills_one_line(form, part, account):
    crossing = [
        flow for flow in FLOWS
        if (flow[0] == account) != (flow[1] == account)
        and not NO_LINE & set(flow[:2]) and flow not in WATER_ONLY
    ]  # fmt: skip
    assert len(crossing) > 20
    for flow in crossing:
        side = "to" if flow[1] == account else "from"
        assert len(lines_of(form, part, flow, end=side)) == 1, flow


def test_each_flow_out_of_production_fills_one_line():
    """Lines 1 to 13 look at the gauged lot; what never was gauged has no line."""
    for flow in FLOWS:
        if flow[0] == "production" != flow[1] and flow[1] not in NO_LINE:
            found = lines_of("5110.40", "I", flow, end="to")
            assert len(found) == (0 if flow[:2] in DAILY else 1), flow


def test_each_flow_through_redistil_fills_one_line():
    for flow in FLOWS:
        if flow[1] == "redistil" and flow[0] not in {*NO_LINE, "gain", "redistil"}:
            both = [lines_of("5110.40", "I", flow, end=side) for side in ("from", "to")]
            assert sum(map(len, both)) == 1, flow
        if flow[0] == "redistil" and flow[1] not in {*NO_LINE, "redistil"}:
            taken = [
                (form, part, line.number)
                for (form, part), shape in PARTS.items()
                for line in shape.lines
                if any(one.takes(*flow) for one in line.flows)
            ]
            assert len(taken) == (0 if flow[:2] in DAILY else 1), flow


@pytest.mark.parametrize("row", EXPECTED, ids=lambda row: "-".join(row[:3]))
def test_each_line_takes_the_flows_its_caption_means(row):
    form, part, number, origins, ends, purposes, side = row
    line = PARTS[form, part].line(number)
    kinds = product(origins.split("|"), ends.split("|"))
    for origin, end in kinds:
        allowed = [f for f in FLOWS if f[:2] == (origin, end)]
        meant = [f for f in allowed if purposes == "*" or f[2] in purposes.split("|")]
        for flow in meant:
            assert any(one.takes(*flow) and one.side == side for one in line.flows), flow


@pytest.mark.parametrize("form", ["5110.40", "5110.11", "5110.28"])
def test_no_line_takes_more_than_its_caption_means(form):
    known = {}
    for name, part, number, origins, ends, purposes, _ in EXPECTED:
        rows = known.setdefault((name, part, number), [])
        rows.append((origins.split("|"), ends.split("|"), purposes.split("|")))
    for (name, part), shape in PARTS.items():
        produced = form == "5110.40" and part in {"II", "III", "IV"}
        if name != form or produced or part == "IV":
            continue
        for line in shape.lines:
            meant = known.get((name, part, line.number), [])
            for flow in FLOWS:
                if any(one.takes(*flow) for one in line.flows):
                    assert any(
                        flow[0] in origins and flow[1] in ends and (flow[2] in why or why == ["*"])
                        for origins, ends, why in meant
                    ), (line.number, flow)


def every_lot():
    """One designation for each combination the columns could divide."""
    types = ("", "bourbon", "corn whisky", "light", "wheat", "grape", "blended whisky", "tequila")
    facts = product(("", *CLASSES), SOURCES, types, ("", "bottled", "packaged"), (True, False))
    for code, source, kind, form, again in facts:
        yield Designation(
            class_code=code, source=source, type_code=kind, form=form, redistilled=again
        )


def test_every_lot_has_one_column():
    lots = [facts_of(lot, cooperage) for lot in every_lot() for cooperage in ("", "new", "used")]
    for (form, name), part in PARTS.items():
        named = [column for column in part.columns if column.where]
        for facts in lots if named else []:
            assert sum(meets(column.where, facts) for column in named) == 1, (form, name, facts)


@pytest.mark.parametrize(
    ("form", "part", "classes"),
    [
        ("5110.40", "II", {"spirits_190"}),
        ("5110.40", "III", {"whisky", "whisky_over_160"}),
        ("5110.40", "IV", {"brandy", "brandy_over_170"}),
        ("5110.28", "IV", {"", *CLASSES} - {"wine"}),
    ],
)
def test_every_lot_of_a_kind_has_one_row(form, part, classes):
    rows = [line for line in PARTS[form, part].lines if line.where]
    for lot in every_lot():
        found = [line.number for line in rows if meets(line.where, facts_of(lot))]
        assert len(found) == (1 if lot.class_code in classes else 0), (facts_of(lot), found)


def test_totals_name_the_lines_between():
    """5110.40: 14 = 1..13. 5110.11: 6 = 1..5, 24 = 7..23. 5110.28: 8, 26, 31, 47, 67."""
    expected = {
        ("5110.40", "I", "14"): (1, 13),
        ("5110.11", "", "6"): (1, 5), ("5110.11", "", "24"): (7, 23),
        ("5110.28", "I", "8"): (1, 7), ("5110.28", "I", "26"): (9, 25),
        ("5110.28", "II", "31"): (27, 30), ("5110.28", "II", "47"): (32, 46),
        ("5110.28", "IV", "67"): (48, 66),
    }  # fmt: skip
    found = {
        (form, part, line.number): line.sums
        for (form, part), shape in PARTS.items()
        for line in shape.lines
        if line.sums
    }
    assert found == {
        key: tuple(str(n) for n in range(first, last + 1))
        for key, (first, last) in expected.items()
    }


def test_part_v_takes_what_is_charged():
    line = PARTS["5110.40", "V"].line("1-8")
    assert [one.takes("redistil", "production", "charge") for one in line.flows] == [True]
