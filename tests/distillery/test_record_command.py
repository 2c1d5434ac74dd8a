"""A file of records: every bad line told by number and reason, the good ones recorded."""

import io
import json
from types import SimpleNamespace

import pytest
from django.core.management import CommandError, call_command

from distillery.operations import operations
from distillery.record_lines import LONGEST, lines
from distillery.recording import ENVELOPE
from ledger.models import Entry
from tests.world import make_plant, make_world

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    return make_world()


def corn(**more):
    fields = {
        "operation": "receive-material", "at": "2026-01-05 09:00", "material": "CORN",
        "quantity": "2,000 lb", "vessel": "BIN-1", "supplier": "Dune Grain (invented)", "key": "a",
    }  # fmt: skip
    return json.dumps({**fields, **more})


def run(tmp_path, *rows, **options):
    """(exit code, stdout, stderr) of the command over a file of these lines."""
    path = tmp_path / "records.jsonl"
    path.write_bytes(b"\n".join(row if isinstance(row, bytes) else row.encode() for row in rows))
    out, err = io.StringIO(), io.StringIO()
    try:
        call_command("record", str(path), stdout=out, stderr=err, **{"by": "ada", **options})
    except CommandError as error:
        return 1, str(error), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def test_it_records_each_line_and_sums_up(world, tmp_path):
    code, out, err = run(tmp_path, corn(), "", corn(key="b"))
    assert (code, out, err) == (0, "2 recorded, 0 already had, 0 need a look.\n", "")


def test_the_same_file_again_changes_nothing(world, tmp_path):
    run(tmp_path, corn())
    code, out, _ = run(tmp_path, corn())
    assert (code, out) == (0, "0 recorded, 1 already had, 0 need a look.\n")
    assert Entry.objects.count() == 1


def test_an_act_does_not_stand_in_its_own_way_when_sent_again(world, tmp_path):
    """A barrel filled since is the one it received; under another key it is refused."""
    stands = {"account": "storage", "vessel": "Z-1", "wine_gallons": "50 gal",
              "proof_gallons": "60 PG", "family": "rum"}  # fmt: skip
    rows = [
        {"operation": "receive-barrels", "at": "2026-01-05 08:00", "barrels": "Z-1", "key": "b",
         "cooper": "Stave and Hoop (invented)", "rated": "53 gal", "cooperage": "C"},
        {"operation": "opening-balance", "at": "2026-01-05 09:00", "rows": [stands], "key": "o"},
    ]  # fmt: skip
    told = [run(tmp_path, *map(json.dumps, rows))[1] for _ in range(2)]
    assert told[1] == "0 recorded, 2 already had, 0 need a look.\n"
    code, _, err = run(tmp_path, json.dumps({**rows[0], "key": "c"}))
    assert (code, Entry.objects.count()) == (1, 2)
    assert "There is already a vessel" in err


def test_it_stops_at_no_line(world, tmp_path):
    code, out, err = run(tmp_path, "{", corn(), corn(key="b", quantity="20 gal"), corn(key="c"))
    assert (code, out) == (1, "2 recorded, 0 already had, 2 need a look.")
    assert [line.partition(":")[0] for line in err.splitlines()] == ["line 1", "line 3"]


def test_all_or_nothing_records_nothing_when_a_line_is_bad(world, tmp_path):
    code, out, err = run(tmp_path, corn(), "{", corn(key="c"), "[]", all_or_nothing=True)
    assert (code, out) == (1, "Nothing was recorded: 2 need a look.")
    assert len(err.splitlines()) == 2
    assert not Entry.objects.exists()


def test_all_or_nothing_records_a_clean_file(world, tmp_path):
    assert run(tmp_path, corn(), corn(key="b"), all_or_nothing=True)[0] == 0
    assert Entry.objects.count() == 2


def test_numbers_keep_the_digits_they_were_written_with(world, tmp_path):
    run(tmp_path, corn().replace('"2,000 lb"', "118.40"))
    assert '"quantity": "118.40"' in Entry.objects.get().form


def test_a_line_without_a_key_gets_one_from_its_content(world, tmp_path):
    bare = json.loads(corn())
    del bare["key"]
    shuffled = dict(reversed(bare.items()))
    code, out, _ = run(tmp_path, json.dumps(bare), json.dumps(shuffled))
    assert (code, out) == (0, "1 recorded, 1 already had, 0 need a look.\n")
    key = Entry.objects.get().key
    assert key.startswith("line-")
    assert len(key) == 37


def test_by_in_the_line_goes_before_the_option(world, tmp_path):
    run(tmp_path, corn(by="bo"))
    assert Entry.objects.get().by == "bo"


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ('{"operation": ', "Not JSON at character"),
        ("plain words", "Not JSON at character 1"),
        ("[1, 2]", "A record is a JSON object"),
        ('"text"', "A record is a JSON object"),
        ('{"at": "a", "at": "b"}', "“at” stands twice"),
        ('{"rows": [{"x": 1, "x": 2}]}', "“x” stands twice"),
        ('{"quantity": NaN}', "NaN is not a quantity"),
        ('{"quantity": -Infinity}', "-Infinity is not a quantity"),
        ("[" * 200_000, "nested too deep"),
        (f'{{"rows": {"[" * 600}{"]" * 600}}}', "nested too deep"),
        (b'{"note": "\xff"}', "Byte 11 is not UTF-8"),
        ('{"operation": "brew"}', "There is no operation “brew”"),
        (corn(by="mallory"), "There is no person “mallory”"),
        (corn(by="cy"), "may not record"),
        (corn(by=["ada"]), "Say who records"),
        (corn(note="a\u0007b"), "Hidden control characters"),
        (corn(note="\ud800"), "Hidden control characters"),
        (corn(at="soon"), "Give the time like"),
    ],
)
def test_a_bad_line_has_its_own_sentence(world, tmp_path, row, sentence):
    code, _, err = run(tmp_path, row)
    assert code == 1
    assert err.startswith("line 1: ")
    assert sentence in err
    assert len(err.splitlines()) == 1
    assert not Entry.objects.exists()


def test_a_line_over_a_megabyte_is_passed_over(world, tmp_path):
    code, out, err = run(tmp_path, b"x" * (10 * LONGEST), corn())
    assert (code, out) == (1, "1 recorded, 0 already had, 1 need a look.")
    assert err == "line 1: The line is longer than 1 MB. One line is one record.\n"


def test_no_line_is_ever_held_whole(world):
    class Counting(io.BytesIO):
        most = 0

        def readline(self, size: int | None = -1, /) -> bytes:
            piece = super().readline(size)
            self.most = max(self.most, len(piece))
            return piece

    stream = Counting(b"y" * (5 * LONGEST) + b"\n" + b"{}\n")
    assert list(lines(stream)) == [(1, None), (2, b"{}\n")]
    assert stream.most <= LONGEST + 1


def test_it_reads_standard_input(world, monkeypatch):
    stdin = SimpleNamespace(buffer=io.BytesIO(b"\xef\xbb\xbf" + corn().encode()))
    monkeypatch.setattr("sys.stdin", stdin)
    call_command("record", "-", by="ada", stdout=io.StringIO())
    assert Entry.objects.count() == 1


def test_a_terminal_gets_no_control_characters(world, tmp_path):
    _, _, err = run(tmp_path, '{"a\\u001b[31m": 1, "a\\u001b[31m": 2}')
    assert "\x1b" not in err


def test_several_plants_want_a_name(world, tmp_path):
    make_plant("DSP-XX-00001", "Second point (invented)")
    assert run(tmp_path, corn())[1] == "Name the plant with --premises."
    assert (
        run(tmp_path, corn(), premises="DSP-XX-00009")[1] == "There is no plant DSP-XX-00009 here."
    )
    assert run(tmp_path, corn(), premises="DSP-XX-00000")[0] == 0


def test_a_missing_file_is_told(world, tmp_path):
    with pytest.raises(CommandError, match="No such file"):
        call_command("record", str(tmp_path / "none.jsonl"), by="ada")


def test_no_field_of_a_form_is_named_like_the_envelope():
    """The envelope is taken off a record before its form reads it."""
    clash = {slug: set(one.form.base_fields) & set(ENVELOPE) for slug, one in operations().items()}
    assert {slug: names for slug, names in clash.items() if names} == {}
