"""What the floor asks for next, and words that stay in their place."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from distillery.drawn_words import cut, width_of, wrapped
from distillery.pages.floor_picture import CELL_W, HEAD, WIDTHS, Item, picture
from tests.distillery.operations.bottling_line import put as put_gin
from tests.distillery.operations.plant_floor import charge, collect
from tests.distillery.operations.test_bottling import TANK
from tests.distillery.pages.conftest import running
from tests.distillery.stock import put

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("fraction", "state", "is_asked"),
    [
        ("hearts", "Needs gauge", True),
        ("heads", "For another run", False),
        ("tails", "For another run", False),
        ("low wines", "For another run", False),
        ("foreshots", "For disposal", False),
    ],
)
def test_only_hearts_are_to_be_gauged(world, client_of, fraction, state, is_asked):
    # 27 CFR 19.289(a), 19.304: spirits are gauged when production ends; feints go back to a still
    put(world, "redistil", "NS", "N-1", wine="40", proof="38")
    charge(world, "NS", family="gin", type_code="", water="30 gal")
    collect(world, fraction, "5 gal", "150")
    page = client_of(world.operator).get("/").content.decode()
    assert ("/record/production-gauge/?vessel=RCV-1" in page.split("<svg")[1]) is is_asked
    assert state in page


@pytest.mark.parametrize(
    ("name", "vessel", "order"),
    [
        ("Tails of R-1", "FEINTS", ["Charge a still", "Move between tanks"]),
        ("Foreshots of R-1", "FEINTS", ["Retire feints or foreshots", "Move between tanks"]),
        ("Hearts of R-1", "RCV-1", ["Production gauge"]),
    ],
)
def test_the_likeliest_act_comes_first(world, client_of, name, vessel, order):
    # common practice, no source: feints go back to a still, foreshots never do
    put(world, "production", vessel, "F-1", wine="60", proof="51", stage="fraction", name=name)
    page = client_of(world.operator).get(f"/vessels/{vessel}/").content.decode()
    acts = page.split("What is next")[1].split("</ul>")[0]
    places = [acts.index(f">{title}</a>") for title in order]
    assert places == sorted(places)
    assert acts.split("</a>")[0].endswith(order[0])


def test_a_charge_begun_at_the_feints_is_filled_in_from_the_book(world, client_of):
    put(world, "production", "FEINTS", "F-1", wine="60", proof="51", stage="fraction",
        name="Tails of R-1", class_code="whisky", type_code="bourbon")  # fmt: skip
    page = client_of(world.operator).get("/record/charge/?vessel=FEINTS").content.decode()
    source = page.split('id="id_sources-0-vessel"')[1].split("</select>")[0]
    assert '<option value="FEINTS" selected' in source
    assert (
        'value="bourbon"'
        in page.split('id="id_type_code"')[0].rsplit("<", 1)[1]
        + (page.split('id="id_type_code"')[1].split(">")[0])
    )
    assert '<option value="whisky" selected' in page
    page = client_of(world.operator).get("/record/charge/?vessel=POT").content.decode()
    assert '<option value="POT" selected' in page


def test_an_empty_tank_charges_no_still(world, client_of):
    for vessel in ("FEINTS", "FV-1", "BIN-1"):
        page = client_of(world.operator).get(f"/vessels/{vessel}/").content.decode()
        assert "/record/charge/" not in page


def test_words_are_cut_by_their_width():
    assert cut("iiiiiiiiiiiiiiiiiiii", 138, 17) == "iiiiiiiiiiiiiiiiiiii"
    assert cut("Mwmwmwmwmwmwmwmwmwmw", 138, 17).endswith("…")
    told = wrapped("Point bourbon whisky", 138, 17, lines=2)
    assert told == ("Point bourbon", "whisky")
    assert all(width_of(text, 17) <= 138 for text in told)
    assert wrapped("", 138, 17, lines=2) == ()
    long = wrapped("Mash of everything left over in the bins at once", 138, 17, lines=2)
    assert len(long) == 2
    assert long[1].endswith("…")


def test_a_name_cut_in_the_picture_is_whole_in_its_title(world, client_of):
    name = "Bourbon whisky designate of the north warehouse, second floor"
    put(world, "storage", "S-1", "K-9", wine="40", proof="38", name=name)
    page = client_of(world.reader).get("/").content.decode()
    titles = page.split("<title>")[2:]
    assert any(name in one.split("</title>")[0] for one in titles)


@pytest.mark.parametrize("act", ["charge", "collect", "stop-still"])
def test_from_what_was_recorded_one_tap_leads_back_to_the_run(world, client_of, act):
    put(world, "redistil", "NS", "N-1", wine="40", proof="38")
    run = charge(world, "NS", family="gin", type_code="", water="30 gal")
    collect(world, "heads", "1 gal", "150")
    world.record("stop-still", "2026-01-12 15:00", still="POT", why="basket")
    number = {"charge": 3, "collect": 4, "stop-still": 5}[act]
    page = client_of(world.operator).get(f"/book/{number}/done/").content.decode()
    first = page.split("Likely next")[1].split("</a>")[0]
    assert f'href="/runs/{run}/"' in first
    assert "vessel=RCV-1" not in page.split("Likely next")[1].split("</ul>")[0]


def acts_of(client, code):
    """The titles offered at a vessel, likeliest first."""
    page = client.get(f"/vessels/{code}/").content.decode()
    found = page.split("What is next")[1].split("<h2")[0]
    return [one.rpartition(">")[2] for one in found.split("</a>")[:-1]]


def test_a_tank_is_bottled_once_at_a_time(world, client_of):
    client = client_of(world.operator)
    put_gin(world)
    assert acts_of(client, "BT-1")[0] == "Open a bottling"
    assert not {"Bottle", "Check bottles", "Close a bottling"} & set(acts_of(client, "BT-1"))
    world.record("open-bottling", "2026-03-21 08:00", vessel="BT-1", product="GIN-750", gauge=TANK)
    # 27 CFR 19.356: bottles are tested at intervals; none was yet, so that comes first
    assert acts_of(client, "BT-1")[:2] == ["Check bottles", "Bottle"]
    assert "Close a bottling" in acts_of(client, "BT-1")
    assert "Open a bottling" not in acts_of(client, "BT-1")


def test_a_still_is_stopped_while_it_runs_and_run_on_once_it_stands(world, client_of):
    client = client_of(world.operator)
    running(world)
    assert acts_of(client, "POT")[:2] == ["Watch the run", "Note a still reading"]
    assert "Run the still on" not in acts_of(client, "POT")
    world.record("stop-still", "2026-03-02 11:00", still="POT", why="to load the basket")
    assert acts_of(client, "POT")[:2] == ["Watch the run", "Run the still on"]
    assert "Stop the still" not in acts_of(client, "POT")


def item(code, lines=(), **more):
    return Item(
        None, "tank", code, "/", None, bool(lines), tuple(lines), "Word", False, code, **more
    )


@given(
    st.dictionaries(
        st.sampled_from(["Brewhouse", "Still house", "Bond store"]),
        st.lists(st.lists(st.text("abc 1", min_size=1, max_size=30), max_size=5), min_size=1,
                 max_size=9),
        min_size=1,
    ),
    st.sampled_from(WIDTHS),
)  # fmt: skip
def test_rooms_hold_their_vessels_and_no_word_leaves_its_place(rooms, width):
    plan = picture({name: [item(f"V-{n}", lines) for n, lines in enumerate(found)]
                    for name, found in rooms.items()}, width)  # fmt: skip
    for one in plan.rooms:
        assert one.x + one.width <= plan.width
        assert one.y + one.height <= plan.height
        for cell in one.cells:
            assert one.y + HEAD <= cell.y
            assert cell.y + cell.height <= one.y + one.height
            assert all(y < cell.height for y, _ in cell.words)
    boxes = [(cell.x, cell.y, cell.x + CELL_W, cell.y + cell.height)
             for one in plan.rooms for cell in one.cells]  # fmt: skip
    for a, b in combinations(boxes, 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_a_figure_too_wide_for_its_place_has_its_unit_below():
    cell = picture({"Room": [item("GLASS", ["2,400 pieces", "Flint"])]}, 960).rooms[0].cells[0]
    assert [words for _, words in cell.words] == ["2,400", "pieces", "Flint"]
