"""The faces of a record: PDF, CSV, JSON, the archive and the command tell the same rows."""

import csv
import json
from datetime import date
from io import BytesIO, StringIO
from zipfile import ZipFile

import pytest
from django.core.management import CommandError, call_command

from distillery.papers.record_bundle import bundle, file_of
from distillery.records import kinds
from distillery.records.shown import facts_of, file_name, parted
from distillery.records.signing import statement
from distillery.records.span import Span

pytestmark = pytest.mark.django_db


@pytest.fixture
def quarter(lived):
    world = lived(3)
    world.premises.refresh_from_db()
    return Span(world.premises, date(2026, 1, 1), date(2026, 3, 31))


def again(span):
    """The same days read afresh."""
    return Span(span.premises, span.first, span.last)


def test_the_same_days_give_the_same_bytes(quarter):
    for kind in kinds().values():
        for format in ("pdf", "csv", "json"):
            assert file_of(kind, quarter, format) == file_of(kind, again(quarter), format)
        assert file_of(kind, quarter, "pdf").startswith(b"%PDF")


def test_the_archive_holds_every_record_three_ways(quarter):
    content = bundle(kinds().values(), quarter)
    assert content == bundle(kinds().values(), again(quarter))
    names = ZipFile(BytesIO(content)).namelist()
    assert len(names) == 3 * len(kinds()) == len(set(names))
    assert "pdf/19.592-tank-record-20260101-20260331.pdf" in names


def test_csv_and_json_tell_every_field_blank_or_not(quarter):
    kind = kinds()["storage-operations"]
    names = [one.name for one in (*kind.all_heads, *kind.all_columns)]
    told = json.loads(file_of(kind, quarter, "json"))
    assert list(told["columns"]) == names
    rows = told["sheets"][0]["rows"]
    assert set(rows[0]) == {*names, "is_total"}
    lines = list(csv.reader(StringIO(file_of(kind, quarter, "csv").decode())))
    assert len(lines) == 2 + len(rows)
    place = names.index("quantity_pg")
    assert [line[place] for line in lines[2:]] == [row["quantity_pg"] for row in rows]


def test_a_text_that_a_spreadsheet_would_run_is_held_back(lived):
    world = lived(1)
    world.record(
        "receive-material", "2026-02-02", material="CORN", quantity="1 lb", vessel="BIN-1",
        supplier="=HYPERLINK(1)", lot="EVIL",
    )  # fmt: skip
    world.premises.refresh_from_db()
    span = Span(world.premises, date(2026, 2, 1), date(2026, 2, 28))
    assert "'=HYPERLINK(1)" in file_of(kinds()["materials"], span, "csv").decode()


def test_paper_names_the_columns_that_are_blank_in_every_row(quarter):
    kind = kinds()["storage-operations"]
    full, blank = parted(kind.all_columns, kind.sheets(quarter)[0].rows)
    assert {one.name for one in (*full, *blank)} == {one.name for one in kind.all_columns}
    assert "quantity_pg" in {one.name for one in full}


def test_every_paper_says_whose_it_is_and_what_it_rests_on(quarter):
    facts = facts_of(quarter)
    assert (facts.plant, facts.registry) == ("Marram Point (invented)", "DSP-XX-00000")
    assert facts.days == "2026-01-01 to 2026-03-31"
    assert quarter.premises.last_seal in facts.foot
    assert str(quarter.premises.last_number) in facts.foot


def test_the_statement_is_the_prescribed_one():
    # 27 CFR 19.45, read in the 2015 edition and a current rendering
    assert statement("inventory") == (
        "I declare under the penalties of perjury that this inventory, including supporting "
        "documents, has been examined by me and, to the best of my knowledge and belief, is "
        "true, correct, and complete."
    )
    asked = {slug for slug, kind in kinds().items() if kind.signed_as}
    # 27 CFR 19.620(k), 19.621(b)(6), 19.623(a)(5)
    assert asked == {"transfers-shipped", "transfers-received", "inventories"}


def test_the_command_writes_what_was_asked_for(quarter, tmp_path, capsys):
    days = ("2026-01-01", "2026-03-31")
    call_command("records", *days, output=tmp_path / "all")
    assert len(list((tmp_path / "all").iterdir())) == len(kinds())
    call_command(
        "records", *days, output=tmp_path / "one", only=["samples"], format=["csv", "json"]
    )
    found = sorted(path.name for path in (tmp_path / "one").iterdir())
    assert found == [file_name(kinds()["samples"], quarter, end) for end in ("csv", "json")]
    assert "2 files in" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("days", "options", "sentence"),
    [
        (("2026-13-01", "2026-03-31"), {}, "Give the days like"),
        (("2026-03-31", "2026-01-01"), {}, "comes before"),
        (("2026-01-01", "2026-03-31"), {"only": ["nothing"]}, "no record “nothing”"),
        (("2026-01-01", "2026-03-31"), {"premises": "DSP-XX-00009"}, "no such plant"),
    ],
)
def test_the_command_says_what_is_wrong(quarter, tmp_path, days, options, sentence):
    with pytest.raises(CommandError, match=sentence):
        call_command("records", *days, output=tmp_path / "x", **options)
    assert not (tmp_path / "x").exists()
