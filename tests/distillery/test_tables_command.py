"""manage.py tables: each table whole, with the edition of every cell."""

import csv
from io import StringIO

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from distillery.printed_cells import import_cells
from tests.world import make_plant

pytestmark = pytest.mark.django_db


def printed(number, **options):
    out = StringIO()
    call_command("tables", number, stdout=out, **options)
    return out.getvalue()


def cells(number):
    return list(csv.DictReader(StringIO(printed(number, format="csv"))))


@pytest.mark.parametrize(
    ("number", "line", "column", "figure", "edition"),
    [
        ("1", "193", "72 F", "190.2", "printed, 27 CFR 30.23"),
        ("4", "85.5", "wine gallons per pound", "0.12676", "printed, 27 CFR 30.64"),
        ("5", "190", "pounds per proof gallon", "3.57597", "printed, 27 CFR 30.65"),
        ("6", "141", "specific gravity in air", "0.88862", "printed, 27 CFR 30.66"),
        ("7", "110", "48 F", "1.005", "printed, 27 CFR 30.67"),
        ("7", "200", "60 F", "1.000", "computed table, OIML R 22"),
    ],
)
def test_each_cell_has_its_edition(number, line, column, figure, edition):
    first = next(iter(cells(number)[0]))
    (found,) = [row for row in cells(number) if (row[first], row["column"]) == (line, column)]
    assert (found["figure"], found["edition"]) == (figure, edition)


def test_table_1_is_whole():
    """206 readings by 101 degrees; the corners that no spirits have stay empty."""
    found = cells("1")
    assert {row["column"] for row in found} == {f"{degree} F" for degree in range(101)}
    assert all(0 <= float(row["figure"]) <= 200 for row in found)
    assert len(found) > 19_000


@pytest.mark.parametrize(
    ("number", "count"),
    [
        ("4", 2 * 1991),  # 1 to 200 proof by tenths, two figures each (27 CFR 30.64)
        ("5", 2 * 200),
        ("6", 4 * 201),
        ("7", 41 * 42),  # 0 to 200 proof by fives, 18 to 100 F by twos (27 CFR 30.67)
    ],
)
def test_the_others_have_every_cell(number, count):
    assert len(cells(number)) == count


def test_text_marks_printed_cells_and_says_where_they_are_from():
    text = printed("7")
    assert text.startswith("Table 7. Factor that brings a volume to 60 F (27 CFR part 30)\n")
    assert "Cells without a mark: computed table, OIML R 22." in text
    assert "* printed, 27 CFR 30.67" in text
    assert "1.005*" in text


def test_it_writes_a_file(tmp_path):
    path = tmp_path / "table5.csv"
    assert printed("5", format="csv", output=path) == ""
    assert path.read_text(encoding="utf-8").startswith("proof,column,figure,edition\n")


def test_it_says_when_it_cannot_write(tmp_path):
    with pytest.raises(CommandError, match="Table 5 was not written"):
        printed("5", output=tmp_path / "nowhere" / "table5.txt")


def test_it_knows_five_tables():
    with pytest.raises(CommandError, match="invalid choice: '2'"):
        call_command("tables", "2")


def test_the_pdf_gives_the_same_bytes_and_needs_a_file(tmp_path):
    path = tmp_path / "table7.pdf"
    contents = []
    for _ in range(2):
        printed("7", format="pdf", output=path)
        contents.append(path.read_bytes())
    assert contents[0] == contents[1]
    assert contents[0].startswith(b"%PDF")
    with pytest.raises(CommandError, match="give --output"):
        printed("7", format="pdf")


def test_the_plants_own_cells_are_printed_with_their_source():
    head = ["source: Publication 5110.6 (1978), invented page", "table,line,column,figure"]
    import_cells(make_plant(), [*head, "7,120,70,0.995"])
    (found,) = [row for row in cells("7") if (row["proof"], row["column"]) == ("120", "70 F")]
    assert found["edition"] == "printed, Publication 5110.6 (1978), invented page"
