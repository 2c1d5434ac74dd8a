"""Printed cells of the gauging tables: entered or imported, they win over the computed ones.

27 CFR 30.1(a): the printed tables are used wherever applicable.
"""

from decimal import Decimal

import pytest
from django.core.management import CommandError, call_command

from distillery.models import PrintedCell
from distillery.printed_cells import BadCells, cells_for, import_cells
from ledger.gauging import half_up
from ledger.gauging.printed_cells import Printed
from ledger.models import Holding
from tests.world import make_plant, make_world

pytestmark = pytest.mark.django_db
HEAD = ["source: Publication 5110.6 (1978), invented page", "table,line,column,figure"]
BOND = {
    "consignor": "Skerry (invented)", "registry": "DSP-XX-00001", "document": "T-1",
    "consigned": "100 PG", "seals": "intact", "account": "storage", "vessel": "NS",
    "family": "spirits", "distilled_at": "190",
}  # fmt: skip


def test_an_imported_cell_wins_in_the_next_gauge():
    """Table 7 at 120 proof, 70 F is moved by a thousandth: the gauge takes the printed figure."""
    world = make_world()
    gauge = {"volume": "100 gal", "temperature": "70 F", "proof": "120"}
    world.record("receive-in-bond", "2026-02-05 09:00", gauge=gauge, **BOND)
    before = Holding.objects.get().wine_gallons
    computed = PrintedCell(grid="7", line="120", column="70", figure="1").off().computed
    lower = half_up(computed, "0.001") - Decimal("0.001")
    import_cells(world.premises, [*HEAD, f"7,120,70,{lower}"], keep=True)
    done = world.record(
        "receive-in-bond", "2026-02-06 09:00", gauge=gauge,
        **{**BOND, "vessel": "S-2", "document": "T-2"},
    )  # fmt: skip
    after = Holding.objects.get(vessel__code="S-2").wine_gallons
    assert before - after == 10
    assert any("Publication 5110.6 (1978)" in step for one in done.plan.slips for step in one.steps)


def test_a_cell_far_from_the_formula_is_questioned():
    premises = make_plant()
    with pytest.raises(BadCells, match=r"Line 3: The formula gives .* Read it again"):
        import_cells(premises, [*HEAD, "7,120,70,0.959"])
    assert not PrintedCell.objects.exists()
    assert import_cells(premises, [*HEAD, "7,120,70,0.959"], keep=True) == 1


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        (["table,line,column,figure"], "begin with “source:”"),
        ([HEAD[0], "table,proof,figure"], "the head is table,line,column,figure"),
        ([*HEAD, "7,120,0.996"], "Line 3: Give 4 columns"),
        ([*HEAD, "9,120,70,0.996"], "Line 3"),
        ([*HEAD, "7,121,70,0.996"], "no cell at that place"),
        ([*HEAD, "7,120,seventy,0.996"], "“seventy” is not a number"),
        ([*HEAD, "7,120,70,NaN"], "“NaN” is not a number"),
        ([*HEAD, "1,193,72,190.2", "1,500,72,190.2"], "Line 4"),
    ],
)
def test_a_bad_file_is_told_by_line_and_nothing_is_taken(lines, says):
    premises = make_plant()
    with pytest.raises(BadCells, match=says):
        import_cells(premises, lines)
    assert not PrintedCell.objects.exists()


def test_a_cell_imported_again_is_replaced():
    premises = make_plant()
    for figure in ("190.1", "190.2"):
        import_cells(premises, [*HEAD, f"1,193,72,{figure}"])
    (printed,) = cells_for(premises).values()
    assert printed == Printed(printed.figure, "Publication 5110.6 (1978), invented page")
    assert str(printed.figure) == "190.2"


def test_another_plants_cells_are_not_ours():
    mine, theirs = make_plant(), make_plant("DSP-XX-00009", "Elsewhere (invented)")
    import_cells(theirs, [*HEAD, "1,193,72,190.2"])
    assert cells_for(mine) == {}


def test_the_command_takes_a_file_or_nothing(tmp_path, capsys):
    make_plant()
    file = tmp_path / "cells.csv"
    file.write_text("\n".join([*HEAD, "1,193,72,190.2", "1,192,72,150"]))
    with pytest.raises(CommandError, match="Nothing was taken"):
        call_command("cells", str(file))
    assert "Line 4: The formula gives" in capsys.readouterr().err
    call_command("cells", str(file), keep_doubtful=True)
    assert PrintedCell.objects.count() == 2
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("cells", str(tmp_path / "none.csv"))
