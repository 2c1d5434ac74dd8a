"""The faces: the command's JSON keys, text, CSV, and paper that is the same byte for byte."""

import csv
import json
import re
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from reports.filing import NAMES, Wanted, render
from reports.month_end import close_month
from tests.reports.months import APRIL, JANUARY, LATER, MARCH, leg, spirits


def made(premises, form, format, month=MARCH):
    return render(premises, month, Wanted(form), format)


def read(premises, form, month=MARCH):
    return json.loads(made(premises, form, "json", month))


def test_json_has_the_documented_keys(book):
    found = read(book.premises, "production")
    head = ["form", "edition", "premises", "month", "status", "parts", "checks"]
    assert list(found)[: len(head)] == head
    assert (found["form"], found["edition"]) == ("TTB F 5110.40", "10-2021")
    assert (found["premises"], found["month"], found["status"]) == (
        "DSP-XX-00000",
        "2026-03",
        "open",
    )
    part = found["parts"][0]
    assert set(part) == {"part", "title", "columns", "lines"}
    assert part["columns"][0] == {"key": "b", "caption": "Whisky, 160 proof and under"}
    assert part["lines"][13]["line"] == "14"
    assert part["lines"][13]["cells"]["l"] == "0.00"
    assert all(set(one) == {"check", "holds", "left", "right"} for one in found["checks"])
    assert all(one["holds"] for one in found["checks"])


def test_json_of_storage_is_a_list_one_a_source(book):
    book.post("2026-04-01 10:00", leg("customs PR", "storage PR S-2", "receive", 1000, 1000),
              lots=(spirits("PR", "rum", source="puerto_rican"),))  # fmt: skip
    assert [one["source"] for one in read(book.premises, "storage")] == ["domestic"]
    april = read(book.premises, "storage", APRIL)
    assert [one["source"] for one in april] == ["domestic", "puerto_rican"]
    assert not any("domestic" in one["check"] for one in april[1]["checks"])


def test_json_marks_what_is_to_be_checked(book):
    parts = {part["part"]: part for part in read(book.premises, "processing")["parts"]}
    notes = [line["note"] for line in parts["IV"]["lines"]]
    assert set(notes) == {"check against the current form"}
    line_20 = parts["I"]["lines"][19]
    assert (line_20["line"], line_20["cells"]) == ("20", {})
    assert line_20["note"] == "see memo, part III"


def test_json_of_everything_is_one_object(book):
    assert list(read(book.premises, "")) == [*NAMES, "state"]
    tax = read(book.premises, "tax")
    assert (tax["tax"], tax["documents"][0]["document"]) == ("179.55", "501")


def test_text_leaves_out_columns_without_a_figure(book):
    text = made(book.premises, "storage", "text").decode()
    assert "column (j)" not in text
    assert "Deposited in bulk storage" in text
    assert "9 columns without a figure left out." in text
    assert "Worksheet: type the figures into the official form or portal." in text


def test_csv_is_plain_and_no_formula(book):
    book.post("2026-04-02 10:00",
              leg("storage N-1 NS", "tax_determined N-1", "remove", 10, 19),
              document="=HYPERLINK(1)")  # fmt: skip
    rows = list(csv.reader(StringIO(made(book.premises, "tax", "csv", APRIL).decode())))
    assert ["2026-04-02", "'=HYPERLINK(1)", "removal", "2.70", "0.2", "0.54"] in rows


@pytest.mark.parametrize("form", ["", *NAMES])
def test_paper_is_the_same_byte_for_byte(book, form):
    """reportlab's invariant mode: no clock in the file, so a filed paper's hash can be kept."""
    first = made(book.premises, form, "pdf")
    assert first.startswith(b"%PDF-")
    assert made(book.premises, form, "pdf") == first


def test_paper_of_a_closed_month_does_not_change_with_later_entries(book):
    close_month(book.premises, JANUARY, by="ada", now=LATER)
    first = made(book.premises, "storage", "pdf", JANUARY)
    book.post("2026-04-02 10:00", leg("storage N-1 NS", "loss N-1", "leak", 10, 19))
    book.premises.refresh_from_db()
    assert made(book.premises, "storage", "pdf", JANUARY) == first


def test_the_command_prints_and_writes(book, capsys, tmp_path):
    call_command("filing", "2026-03", "--form", "tax")
    assert "Federal excise tax" in capsys.readouterr().out
    target = tmp_path / "march.pdf"
    call_command("filing", "2026-03", "--format", "pdf", "--output", str(target))
    assert target.read_bytes().startswith(b"%PDF-")
    call_command("filing", "2026-02", "--premises", "DSP-XX-00000", "--format", "json")
    assert json.loads(capsys.readouterr().out)["production"]["month"] == "2026-02"


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["2026-13"], "“2026-13” is not a month. Write it like 2026-03."),
        (["March"], "“March” is not a month. Write it like 2026-03."),
        (["2026-3"], "“2026-3” is not a month. Write it like 2026-03."),
        (
            ["2026-03", "--format", "xml"],
            "There is no format “xml”; one of text, json, csv, pdf, xlsx.",
        ),
        (
            ["2026-03", "--form", "wine"],
            "There is no form “wine”; one of production, storage, processing, tax, return, state.",
        ),
        (["2026-03", "--premises", "DSP-XX-9"], "There is no plant DSP-XX-9."),
        (["2016-01"], "No edition of TTB F 5110.28 is known for January 2016."),
        (
            ["2026-03", "--output", "/nowhere/x"],
            "/nowhere/x cannot be written: No such file or directory.",
        ),
    ],
)  # fmt: skip
def test_the_command_refuses_in_a_sentence(book, arguments, sentence):
    with pytest.raises(CommandError) as caught:
        call_command("filing", *arguments)
    assert str(caught.value) == sentence


def test_a_month_that_has_not_begun_is_refused(book):
    with pytest.raises(CommandError, match="has not begun"):
        call_command("filing", f"{timezone.now().year + 1}-12")


@pytest.mark.parametrize("form", ["production", "storage", "processing", "tax", "return"])
def test_a_worksheet_takes_two_pages_at_most(book, form):
    content = made(book.premises, form, "pdf")
    pages = re.search(rb"/Count (\d+)", content)
    assert int(pages[1]) <= 2
