"""Forms as a plant has them: lines checked once against the official form, editions as data.

27 CFR 19.632 (the forms), 19.634 (word for word is what we do not claim). The loss line of
5110.11, 21 or 22, is the standing example of a line whose number was not read.
"""

import json
from datetime import date
from io import StringIO

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from distillery.models import DatedSetting
from ledger.errors import BadFact
from reports.amending import to_amend
from reports.editions import read_editions, to_check
from reports.filing_life import file_report
from reports.forms import FORMS
from reports.forms.as_data import edition_from_data, edition_to_data
from reports.models import AddedEdition, CheckedLine
from reports.month_book import read_book
from reports.month_end import close_month, filings_of, forms_of
from reports.told import Told
from tests.reports.months import JANUARY, LATER, MARCH, leg, spirits
from tests.world import make_plant

TOLD = Told(filed_on=date(2026, 5, 10), filed_by="Ada Quay", how="portal")


def storage(book, month=MARCH):
    return forms_of(read_book(book.premises, month))["storage", "domestic"]


def check(book, **facts):
    edition = FORMS["storage"].editions[-1].name
    row = {
        "form": "storage", "edition": edition, "part": "", "line": "22", "printed": "21",
        "caption": "Losses", "checked_by": "Ada Quay", "checked_on": date(2026, 4, 1),
    }  # fmt: skip
    return CheckedLine.objects.create(premises=book.premises, **{**row, **facts})


def test_a_checked_line_carries_its_printed_number_and_is_no_longer_marked(book):
    before = storage(book).parts[0].line("22")
    check(book)
    after = storage(book).parts[0].line("22")
    assert (before.number, before.status) == ("22", "memory")
    assert (after.number, after.caption, after.status) == ("21", "Losses", "read")
    assert after.cells["m"].value == before.cells["m"].value


def test_the_newest_check_of_a_line_counts(book):
    check(book)
    check(book, printed="22", caption="Other losses")
    assert storage(book).parts[0].line("22").number == "22"


def test_another_plants_check_is_its_own(book, world):
    other = make_plant("DSP-XX-00009", "Other (invented)")
    CheckedLine.objects.create(
        premises=other, form="storage", edition=FORMS["storage"].editions[-1].name, part="",
        line="22", printed="21", caption="Losses", checked_by="Eve", checked_on=date(2026, 4, 1),
    )  # fmt: skip
    assert storage(book).parts[0].line("22").number == "22"


def test_checking_a_line_changes_no_filed_figure(book):
    close_month(book.premises, JANUARY, by="ada", now=LATER)
    file_report(book.premises, JANUARY, "storage", TOLD, source="domestic", by="ada", now=LATER)
    check(book)
    assert to_amend(book.premises) == []


@pytest.mark.parametrize("slug", list(FORMS))
def test_an_edition_reads_back_from_its_data(slug):
    for edition in FORMS[slug].editions:
        assert edition_from_data(json.loads(json.dumps(edition_to_data(edition)))) == edition


def printed(slug):
    out = StringIO()
    call_command("form_edition", slug, stdout=out)
    return json.loads(out.getvalue())


def test_a_new_edition_is_added_without_a_program(book, tmp_path):
    data = printed("processing")
    data["name"], data["effective"] = "03-2026", "2026-03-01"
    part = next(one for one in data["parts"] if one["part"] == "IV")
    part["lines"][0]["caption"] = "Neutral spirits"
    path = tmp_path / "edition.json"
    path.write_text(json.dumps(data))
    call_command("form_edition", "processing", add=str(path), stdout=StringIO())
    old, new = (forms_of(read_book(book.premises, month))["processing", ""]
                for month in (JANUARY, MARCH))  # fmt: skip
    assert (old.edition, new.edition) == ("08-2023", "03-2026")
    assert new.part("IV").lines[0].caption == "Neutral spirits"


@pytest.mark.parametrize(
    ("spoil", "sentence"),
    [
        (lambda d: d.pop("parts"), "lacks or misspells 'parts'"),
        (lambda d: d.update(effective="2026-03-02"), "first day of a month"),
        (lambda d: d.update(effective="soon"), "is not a day"),
        (lambda d: d["parts"][0]["lines"][0].update(colour="red"), "A line has no “colour”"),
        (lambda d: d["parts"][0]["lines"][0].update(sums=["999"]), "adds line 999"),
    ],
)
def test_an_edition_that_does_not_fit_is_refused_in_a_sentence(spoil, sentence):
    data = edition_to_data(FORMS["processing"].editions[-1])
    spoil(data)
    with pytest.raises(BadFact, match=sentence):
        edition_from_data(data)


def test_an_edition_is_not_replaced(db, tmp_path):
    path = tmp_path / "edition.json"
    data = printed("storage")
    data["effective"] = "2027-01-01"
    path.write_text(json.dumps(data))
    call_command("form_edition", "storage", add=str(path), stdout=StringIO())
    data["name"] = "another"
    path.write_text(json.dumps(data))
    with pytest.raises(CommandError, match="is there already"):
        call_command("form_edition", "storage", add=str(path), stdout=StringIO())
    assert AddedEdition.objects.count() == 1


def test_gin_redistilled_in_processing_is_net_or_gross_by_a_dated_rule(book):
    """Net leaves line 20 empty and the run's loss on 24; gross takes all out and the product in."""
    book.post(
        "2026-03-20 08:00", leg("storage N-1 NS", "processing N-2 RCV-1", "transfer", 526, 1000),
        lots=(spirits("N-2", "spirits_190"),),
    )  # fmt: skip
    book.post(
        "2026-03-21 08:00",
        leg("processing N-2 RCV-1", "processing Q-1 COL", "redistil_in", 526, 1000),
        leg("processing Q-1 COL", "processing Q-2 P-2", "redistil_out", 500, 975),
        leg("processing Q-1 COL", "loss Q-1", "redistil", 26, 25),
        lots=(spirits("Q-1", "gin"), spirits("Q-2", "gin")),
    )  # fmt: skip

    def lines():
        part = forms_of(read_book(book.premises, MARCH))["processing", ""].part("I")
        return {n: part.value(n) for n in ("2", "20", "24")}

    net = lines()
    assert net["20"] == 0
    DatedSetting.objects.create(
        premises=book.premises, name="redistilled", value="gross", effective=MARCH
    )
    found = lines()
    assert found == {"2": net["2"] + 975, "20": 1000, "24": net["24"] - 25}
    checks = {one.id: one for one in filings_of(book.premises, MARCH).checks}
    assert checks["28-bulk"].holds
    assert not checks["entered-processing"].holds
    assert not checks["entered-processing"].blocking


@pytest.fixture
def owner(world, book, client):
    client.force_login(world.owner)
    return client


def test_the_page_keeps_what_was_compared(owner, book):
    form = read_editions(book.premises).edition_for(FORMS["storage"], MARCH)
    rows = to_check(form.parts)
    at = next(n for n, (_, line) in enumerate(rows) if line.number == "22")
    page = "/filings/forms/storage/check/"
    assert owner.get(page).content.decode().count("-same") == len(rows)
    data = {f"line-{at}-number": "21", f"line-{at}-caption": "Losses", f"line-{at}-same": "on",
            "checked_by": "Ada Quay", "checked_on": "2026-04-01"}  # fmt: skip
    assert owner.post(page, data).status_code == 302
    row = CheckedLine.objects.get()
    assert (row.line, row.printed, row.checked_by) == ("22", "21", "Ada Quay")
    assert owner.get(page).content.decode().count("-same") == len(rows) - 1


def test_nothing_ticked_is_told(owner):
    data = {"checked_by": "Ada Quay", "checked_on": "2026-04-01"}
    answer = owner.post("/filings/forms/storage/check/", data)
    assert (answer.status_code, CheckedLine.objects.count()) == (422, 0)
    assert "Tick each line" in answer.content.decode()
