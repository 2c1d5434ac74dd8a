"""What a trace tells: removals as they stand, consignees, files, the command."""

import csv
import io
import json
import re
from decimal import Decimal

import pytest
from django.core.management import CommandError, call_command

from distillery.papers.paper import texts
from distillery.papers.pdf import render
from distillery.papers.recall_sheet import recall_sheet
from distillery.tracing.consignees import Consignee, consignee_of
from distillery.tracing.story import Story
from distillery.tracing.told import as_csv, percent
from ledger.models import Entry, Lot
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.posting import record as post
from ledger.writing import Act
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    """A lot of 24 bottles in the store."""
    world = make_world()
    put(world, "finished", "STORE", "K-1", wine="4.76", proof="3.81", amount=24, stage="bottled",
        unit="bottle", per_case=12, name="Vodka")  # fmt: skip
    return world


def sell(world, document, bottles, consignee="Estuary Wholesale (invented)", **more):
    return world.record(
        "remove", "2026-03-10 10:00", document=document, consignee=consignee, initials="a",
        consignee_address="9 Quay Street", rows=[{"lot": "K-1", "bottles": bottles}], **more,
    ).entry  # fmt: skip


def removed():
    return [
        (one.ending.entry.document, one.ending.amount, one.consignee.name)
        for one in Story(Lot.objects.get(code="K-1")).removals
    ]


def test_a_removal_that_was_taken_back_is_none(world):
    kept, mistaken = sell(world, "1", "6"), sell(world, "2", "12", "Nobody (invented)")
    world.record("reverse", "2026-03-10 12:00", entry=str(mistaken.number), reason="wrong customer")
    assert removed() == [(kept.document, 6, "Estuary Wholesale (invented)")]
    (stood,) = Story(Lot.objects.get(code="K-1")).standing
    assert stood.standing.amount == 18


def test_a_corrected_removal_counts_as_corrected(world):
    entry = sell(world, "1", "6")
    world.record(
        "correct", "2026-03-11", entry=str(entry.number), leg="1", amount="5",
        wine_gallons="0.99 gal", proof_gallons="0.79 PG", reason="one short",
    )  # fmt: skip
    assert [row[1] for row in removed()] == [5]


def test_the_own_shop_is_named_where_the_form_names_nobody(world):
    entry = Entry(form='{"to": "taxpaid"}')
    assert consignee_of(entry, "taxpaid") == Consignee("our own tasting room or shop")
    assert consignee_of(Entry(form="{}"), "tax_determined") == Consignee()
    returned = Entry(form='{"returned_by": "A shop", "returned_by_address": "2 Quay"}')
    assert consignee_of(returned, "tax_determined") == Consignee("A shop", "2 Quay")


@pytest.mark.parametrize(
    ("share", "told"),
    [("1", "100.0 %"), ("0.5785", "57.9 %"), ("0.0035", "0.35 %"), ("0.0009", "under 0.1 %")],
)
def test_a_share_is_told_with_the_figures_that_matter(share, told):
    assert percent(Decimal(share)) == told


def test_a_name_that_begins_like_a_formula_stays_text(world):
    put(world, "storage", "S-1", "N", wine="10", proof="19", name="=HYPERLINK(1)")
    sell(world, "=1+1", "6", "+cmd (invented)")
    rows = list(csv.DictReader(io.StringIO(as_csv(Story(Lot.objects.get(code="K-1"))))))
    (row,) = [row for row in rows if row["part"] == "out"]
    assert (row["document"], row["consignee"]) == ("'=1+1", "'+cmd (invented)")
    assert (row["bottles"], row["proof_gallons"]) == ("6", "0.95")


def run(*words, **options):
    out = io.StringIO()
    call_command("trace", *words, stdout=out, **options)
    return out.getvalue()


def test_the_command_tells_the_same_as_json_and_into_a_file(world, tmp_path):
    sell(world, "1", "6")
    told = json.loads(run("K-1", format="json", direction="forward"))
    assert told["lot"] == "K-1"
    assert [row["part"] for row in told["rows"]] == ["out", "here"]
    assert told["not_told"] == {"forward": 0}
    path = tmp_path / "trace.csv"
    assert run("store", format="csv", output=path) == ""
    assert path.read_text() == as_csv(Story(Lot.objects.get(code="K-1")))
    assert "Estuary Wholesale (invented) · 9 Quay Street" in run("k-1")


def test_the_command_refuses_with_a_sentence(world, tmp_path):
    put(world, "storage", "S-1", "N", wine="10", proof="19")
    put(world, "storage", "S-2", "S-1", wine="10", proof="19")
    with pytest.raises(CommandError, match="Near: K-1"):
        run("K-11")
    assert "S-1" in run("S-1")  # the lot of that name, told apart from the tank
    with pytest.raises(CommandError, match="may mean several lots"):
        run("s-1")
    with pytest.raises(CommandError, match="was not written"):
        run("K-1", output=tmp_path)
    with pytest.raises(CommandError, match="There is no plant DSP-XX-1"):
        run("K-1", premises="DSP-XX-1")


def pages(pdf):
    return len(re.findall(rb"/Type /Page\b", pdf))


def test_the_recall_sheet_keeps_to_one_page_and_sums_what_it_leaves_out(world):
    for number in range(40):
        put(world, "storage", "NS", f"N{number}", wine="1", proof="1.9")
    put(world, "finished", "STORE", "K-2", wine="476", proof="381", amount=2400, stage="bottled",
        unit="bottle", per_case=12, name="Vodka " * 12)  # fmt: skip
    for number in range(40):
        world.record(
            "remove", "2026-03-10 10:00", document=f"INV-{number}", initials="a",
            consignee=f"Shop {number} of the long shore and all its bays (invented) " * 2,
            rows=[{"lot": "K-2", "bottles": "12"}],
        )  # fmt: skip
    paper = recall_sheet(Story(Lot.objects.select_related("premises").get(code="K-2")))
    assert pages(render([paper])) == 1
    told = list(texts(paper))
    assert "Total" in told
    assert "480" in told  # 40 × 12 bottles, listed or not
    assert any(text.endswith("more rows, see the file of the trace") for text in told)
    assert world.premises.registry in paper.foot


def test_the_recall_sheet_keeps_to_one_page_with_every_list_full(world):
    """Twelve lots into one, of that twelve bottlings, all with long names, three consignees."""
    long = "of the long shore and all its bays and marshes " * 3
    for number in range(12):
        put(world, "processing", "P-1", f"N{number}", wine="100", proof="100", name=long[:80])
    mix = Place("processing", "MIX", "P-2")
    legs = [Leg(Place("processing", f"N{n}", "P-1"), mix, "blend", 0, 10000, 10000)
            for n in range(12)]  # fmt: skip
    lots = [NewLot("MIX", "batch", "pg", "Mix", class_code="vodka")]
    for number in range(12):
        code = f"KK-{number}"
        lots.append(NewLot(code, "bottled", "bottle", long[:80], class_code="vodka",
                           per_case=12))  # fmt: skip
        to = Place("finished", code, "STORE")
        legs += [Leg(mix, to, "bottle", 0, 2000, 2000), Leg(Place("glass", code), to, "bottle", 99)]
    act = Act("test", world.when("2026-02-01 08:00"), "ada", "mixed", "{}")
    post(lambda look: Plan(tuple(legs), tuple(lots)), premises=world.premises, act=act)
    for number in range(36):
        world.record(
            "remove", "2026-03-10 10:00", document=f"INV-{number}", initials="a",
            consignee=f"Shop {number} (invented)", consignee_address=long[:120],
            rows=[{"lot": f"KK-{number % 12}", "bottles": "12"}],
        )  # fmt: skip
    story = Story(Lot.objects.select_related("premises").get(code="MIX"))
    paper = recall_sheet(story)
    assert [part.title for part in paper.parts[:-1]] == [
        "Removed", "Still here: hold", "Bottled from it", "Came from",
    ]  # fmt: skip
    assert pages(render([paper])) == 1
    assert all(len(part.rows) >= 5 for part in paper.parts[:-1])


def test_the_recall_sheet_bears_the_head_of_the_seal(world):
    sell(world, "1", "6")
    head = Entry.objects.order_by("-number").first()
    told = list(texts(recall_sheet(Story(Lot.objects.get(code="K-1")))))
    assert head.seal in told
    assert f"Recall sheet RS-K-1-{head.number}" in told
