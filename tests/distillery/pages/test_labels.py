"""Labels and their QR codes, read back by a reader that did not draw them.

The reader is zxing-cpp, a general library for bar codes; the paper is drawn to points by
Debian's pdftoppm.
"""

import shutil
import subprocess
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
import zxingcpp
from PIL import Image, ImageDraw

from distillery.papers.label_sheet import STOCKS, Label, label_sheets, square_mm
from distillery.qr import QUIET, drawn, modules, runs
from tests.distillery.pages.conftest import bottled, gauged

pytestmark = pytest.mark.django_db


def read(paper: bytes) -> list[list[str]]:
    """What the QR codes of each page say, sorted."""
    assert shutil.which("pdftoppm"), "install Debian's poppler-utils"
    with TemporaryDirectory() as folder:
        # as sharp as a plain office printer (common practice, no source)
        command = ["pdftoppm", "-r", "300", "-gray", "-", f"{folder}/page"]
        subprocess.run(command, input=paper, check=True)
        pages = [Image.open(BytesIO(one.read_bytes())) for one in sorted(Path(folder).iterdir())]
    return [sorted(one.text for one in _codes(page)) for page in pages]


def _codes(image):
    return zxingcpp.read_barcodes(image)


@pytest.mark.parametrize("text", ["https://plant.example/at/B-101/", "x", "http://h/at/K:A43R/"])
def test_a_code_reads_back_as_what_it_says_and_is_no_micro_code(text):
    rows = modules(text)
    assert len(rows) >= 21  # the smallest full QR code, ISO/IEC 18004; Micro ends at 17
    size = len(rows) + 2 * QUIET
    image = Image.new("L", (size * 8, size * 8), 255)
    pen = ImageDraw.Draw(image)
    for row, column, length in runs(text):
        x, y = (column + QUIET) * 8, (row + QUIET) * 8
        pen.rectangle((x, y, x + length * 8 - 1, y + 7), fill=0)
    (found,) = _codes(image)
    assert found.text == text
    assert found.format == zxingcpp.BarcodeFormat.QRCode


def test_the_drawing_on_a_screen_holds_no_style_and_escapes_its_title():
    svg = drawn("https://plant.example/at/B-1/", title='a "b" <c>')
    assert "style" not in svg
    assert "<c>" not in svg
    assert 'aria-label="a &quot;b&quot; &lt;c>"' in svg


@pytest.mark.parametrize("stock", STOCKS.values(), ids=lambda one: one.code)
def test_the_labels_of_a_sheet_fit_its_page_and_do_not_touch(stock):
    for axis, count in ((0, stock.across), (1, stock.down)):
        end = stock.start[axis] + (count - 1) * stock.step[axis] + stock.label[axis]
        assert end <= stock.page[axis] + 0.01
        assert stock.step[axis] >= stock.label[axis]


@pytest.mark.parametrize("stock", STOCKS.values(), ids=lambda one: one.code)
def test_every_code_of_a_sheet_can_be_read(stock):
    labels = [
        Label(f"B-{n}", ("Barrel", "rated 15 gal"), f"https://plant.example/at/B-{n}/")
        for n in range(101, 101 + stock.count)
    ]
    (page, *more) = read(label_sheets(labels, stock, name="Labels"))
    whole = [one.address for one in labels]
    assert page + [text for one in more for text in one] == whole[: stock.count]


# Longest of each kind: a case of a bottling, a vessel's code, an address of a common length.
LONG = "https://plant-book.marram-point.example/at/BOURBON-750:26A30-0412R/"


@pytest.mark.parametrize("stock", STOCKS.values(), ids=lambda one: one.code)
def test_a_long_code_is_wide_enough_and_reads_back(stock):
    """Half a millimeter a square is common practice (no source); clear space by ISO/IEC 18004."""
    assert square_mm(LONG, stock) >= 0.5
    labels = [Label("26A30-0412R", ("distilled gin", "DSP-XX-00000"), LONG)]
    assert read(label_sheets(labels, stock, skip=stock.count - 1, name="Labels")) == [[LONG]]


def test_a_code_too_fine_for_its_label_is_told(world, client_of, settings):
    settings.PUBLIC_ADDRESS = f"https://{'a-long-name-' * 6}.example"
    client = client_of(world.owner)
    assert "reads with ease" in client.get("/labels/?size=letter-1x2").content.decode()
    assert "reads with ease" not in client.get("/labels/?size=single-4x6").content.decode()


def test_places_used_up_are_left_empty_and_a_full_sheet_goes_on():
    stock = STOCKS["letter-2x4"]
    labels = [Label(f"B-{n}", (), f"https://plant.example/{n}") for n in range(10, 16)]
    pages = read(label_sheets(labels, stock, skip=7, name="Labels"))
    assert [len(page) for page in pages] == [3, 3]


def test_the_same_labels_give_the_same_bytes():
    labels = [Label("B-1", ("Barrel",), "https://plant.example/at/B-1/")]
    stock = STOCKS["single-4x6"]
    one, other = (label_sheets(labels, stock, name="Labels") for _ in range(2))
    assert one == other


def test_vessels_are_labelled_with_the_address_of_their_page(world, client_of):
    client = client_of(world.owner)
    answer = client.get("/labels/sheet.pdf?codes=FV-1,B-1..B-2&size=a4-70x37")
    assert answer["Content-Type"] == "application/pdf"
    base = "http://testserver/at/"
    assert read(answer.content) == [[f"{base}B-1/", f"{base}B-2/", f"{base}FV-1/"]]
    assert client.get("/at/FV-1/")["Location"] == "/vessels/FV-1/"
    assert client.get("/at/b-1/")["Location"] == "/barrels/B-1/"


def test_a_setting_tells_another_host(world, client_of, settings):
    settings.PUBLIC_ADDRESS = "https://book.example/"
    answer = client_of(world.owner).get("/labels/sheet.pdf?codes=FV-1&size=single-4x6")
    assert read(answer.content) == [["https://book.example/at/FV-1/"]]


def test_a_barrels_head_label_bears_its_code(world, client_of):
    gauged(world)
    answer = client_of(world.owner).get("/barrels/B-1/label.pdf")
    assert read(answer.content) == [["http://testserver/at/B-1/"]]


def test_cases_bear_their_marks_and_lead_to_their_lot(world, client_of):
    bottled(world)
    client = client_of(world.owner)
    page = client.get("/labels/?bottling=BR-3")
    labels = page.context["chosen"].labels
    assert len(labels) == 21  # 20 cases and the remnant of 5, marked R
    # 27 CFR 19.489(a): serial number, kind, plant number, date filled, proof, liters.
    assert labels[0].title == "1"
    assert labels[0].lines[:5] == (
        "distilled gin", "DSP-XX-00000", "filled 2026-03-02", "90.0 proof", "9 L",
    )  # fmt: skip
    assert labels[-1].title == "20R"
    assert "3.75 L" in labels[-1].lines
    for label in (labels[0], labels[-1]):
        path = label.address.removeprefix("http://testserver")
        assert client.get(path)["Location"].startswith("/lots/")
    some = client.get("/labels/sheet.pdf?bottling=BR-3&cases=3..4,20R&size=letter-2x4")
    base = "http://testserver/at/GIN-750:"
    assert read(some.content) == [[f"{base}20R/", f"{base}3/", f"{base}4/"]]


@pytest.mark.parametrize(
    ("query", "told"),
    [
        ("codes=NO-SUCH", "There is no vessel “NO-SUCH” here."),
        ("codes=B-9..B-1", "runs backwards"),
        ("codes=FV-1,FV-1", "stands here twice"),
        ("size=huge", "Choose a size"),
        ("skip=-4", "Choose a size"),
        ("skip=many", "Choose a size"),
        ("skip=10", "than a sheet of this size has: 10."),
        ("skip=1&size=single-4x6", "than a sheet of this size has: 1."),
    ],
)
def test_what_cannot_be_printed_is_told(world, client_of, query, told):
    client = client_of(world.owner)
    assert told in client.get(f"/labels/?{query}").content.decode()
    assert client.get(f"/labels/sheet.pdf?{query}").status_code == 404


def test_a_code_that_means_nothing_is_told_with_what_is_near(world, client_of):
    answer = client_of(world.owner).get("/at/FV-9/")
    assert answer.status_code == 404
    assert "/at/FV-1/" in answer.content.decode()


def test_another_plants_code_means_nothing(world, client_of):
    dee = type(world.owner).objects.get(username="dee")
    assert client_of(dee).get("/at/FV-1/").status_code == 404


def test_a_code_of_a_lot_and_a_vessel_is_asked_about(world, client_of):
    world.record(
        "receive-material", "2026-01-06 09:00", material="CORN", quantity="100 lb",
        vessel="BIN-2", supplier="A farm", lot="FV-2",
    )  # fmt: skip
    told = client_of(world.owner).get("/at/FV-2/").content.decode()
    assert "/vessels/FV-2/" in told
    assert "/lots/FV-2/" in told
