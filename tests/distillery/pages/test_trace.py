"""The pages of the trace: the box, the choice, the lists, the picture, the files."""

import csv
import io
import re
from pathlib import Path

import pytest

from tests.distillery.pages.test_strictness import UNFIT
from tests.distillery.stock import put
from tests.world import make_plant

pytestmark = pytest.mark.django_db
MOST = 14  # queries: each way asks for pairs, what was fresh in them, and the lots rows


@pytest.fixture
def gin(world):
    """Corn and an odd lot, some of it mashed."""
    world.record(
        "mash", "2026-01-06 10:00", into="FV-1", wash="200 gal", lot="WASH",
        grains=[{"lot": "G-1", "quantity": "400 lb"}],
    )  # fmt: skip
    put(world, "storage", "S-1", "<b>odd</b>", wine="10", proof="19")
    return world


def get(client_of, world, path, **data):
    return client_of(world.reader).get(path, data)


def test_a_code_that_means_one_lot_goes_straight_to_it(gin, client_of):
    for code, lot in (("g-1", "G-1"), ("FV-1", "WASH"), (" wash ", "WASH")):
        response = get(client_of, gin, "/trace/", code=code)
        assert (response.status_code, response["Location"]) == (302, f"/trace/{lot}/")


def test_an_unknown_code_has_its_sentence_at_the_box_and_near_codes(gin, client_of):
    told = get(client_of, gin, "/trace/", code="G-11").content.decode()
    assert 'id="code-wrong">There is no lot, vessel, barrel, case or bottle “G-11” here.' in told
    assert 'aria-describedby="code-hint code-wrong" aria-invalid="true"' in told
    assert '<a href="/trace/?code=G-1">G-1</a>' in told


@pytest.mark.parametrize("code", ["", " ", "x" * 3000, "\x00", "<script>alert(1)</script>"])
def test_odd_codes_are_answered(gin, client_of, code):
    response = get(client_of, gin, "/trace/", code=code)
    assert response.status_code == 200
    assert UNFIT.findall(response.content.decode()) == []


def test_the_page_tells_both_ways_within_few_queries(gin, client_of, django_assert_max_num_queries):
    client = client_of(gin.reader)
    client.get("/trace/WASH/")
    with django_assert_max_num_queries(MOST):
        told = client.get("/trace/WASH/").content.decode()
    assert UNFIT.findall(told) == []
    assert '<h2 id="from">Came from</h2>' in told
    assert "400.00 lb" in told
    assert 'class="trace-node start"' in told
    forward = client.get("/trace/G-1/").content.decode()
    assert "200.00 gal" in forward
    assert forward.count('class="trace-node') == 2


@pytest.mark.parametrize("code", ["%00", "NO-SUCH", "x" * 500])
def test_no_lot_of_that_code_is_no_page(gin, client_of, code):
    for path in ("", "list.csv", "recall.pdf"):
        assert client_of(gin.reader).get(f"/trace/{code}/{path}").status_code == 404


def test_another_plants_lot_has_no_trace_here(gin, client_of):
    mine, gin.premises = gin.premises, make_plant("DSP-XX-00009", "Other Spit (invented)")
    put(gin, "storage", "S-1", "SECRET", wine="10", proof="19")
    gin.premises = mine
    for path in ("", "list.csv", "recall.pdf"):
        assert client_of(gin.owner).get(f"/trace/SECRET/{path}").status_code == 404
    told = get(client_of, gin, "/trace/", code="SECRET").content.decode()
    assert "There is no lot" in told


def test_a_lot_with_a_tag_in_its_code_is_shown_as_text(gin, client_of):
    told = client_of(gin.reader).get("/trace/%3Cb%3Eodd%3C/b%3E/").content.decode()
    assert "<b>odd" not in told
    assert "&lt;b&gt;odd&lt;/b&gt;" in told


def test_the_files_are_csv_and_pdf(gin, client_of):
    response = get(client_of, gin, "/trace/WASH/list.csv", direction="back")
    rows = list(csv.DictReader(io.StringIO(response.content.decode())))
    assert [(row["part"], row["lot"], row["share_percent"]) for row in rows] == [
        ("from", "G-1", "100.0000")
    ]
    both = get(client_of, gin, "/trace/WASH/list.csv", direction="sideways").content.decode()
    assert "\nhere,WASH," in both
    paper = get(client_of, gin, "/trace/WASH/recall.pdf")
    assert paper["Content-Type"] == "application/pdf"
    assert paper.content.startswith(b"%PDF")


def test_lot_vessel_and_entry_lead_to_the_trace(gin, client_of):
    client = client_of(gin.reader)
    assert 'href="/trace/WASH/"' in client.get("/lots/WASH/").content.decode()
    assert 'href="/trace/?code=FV-1"' in client.get("/vessels/FV-1/").content.decode()
    assert 'href="/trace/WASH/"' in client.get("/book/2/").content.decode()
    assert 'href="/trace/"' in client.get("/book/").content.decode()


def test_the_picture_is_drawn_with_attributes_alone(gin, client_of):
    told = client_of(gin.reader).get("/trace/WASH/").content.decode()
    (drawn,) = re.findall(r"<svg width=.*?</svg>", told, re.S)
    assert "<title" in drawn
    assert "<desc" in drawn
    sheet = Path(__file__).parents[3] / "distillery/static/distillery/trace.css"
    for name in set(re.findall(r'class="(trace-[a-z]+)', drawn)):
        assert f".{name}" in sheet.read_text()
