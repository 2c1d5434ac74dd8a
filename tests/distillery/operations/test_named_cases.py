"""Case numbers on what leaves: read, asked about where they are odd, told in records and traces.

Cases are numbered 1 to 1,000,000 and begin again, a remnant case bears the last full number and
R (27 CFR 19.490, 19.359); they may be withdrawn without their numbers (27 CFR 19.581(g)).
"""

from datetime import date
from io import StringIO

import pytest
from django.core.management import call_command

from distillery.named_cases import Cases, Unread, cases_read, read_cases
from distillery.recording import Asked
from distillery.records import kinds
from distillery.records.span import Span
from distillery.tracing.finding import choices_for
from distillery.tracing.story import Story
from distillery.tracing.told import as_csv, as_json, case_lines
from ledger.models import Lot
from tests.distillery.operations.bottling_line import bottle, opened
from tests.distillery.operations.test_finished_goods import vodka
from tests.world import make_world

LATER = "2026-03-25 10:00"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("41-43, 50", ["41–43", "50"]), ("A7 – A9", ["A7–A9"]), ("43R", ["43R"]),
        ("1 and 2", ["1", "2"]), ("1 to 30;31", ["1–30", "31"]), ("a7-9", ["A7–A9"]), ("", []),
    ],
)  # fmt: skip
def test_numbers_are_read_as_people_write_them(text, told):
    assert [str(one) for one in read_cases(text)] == told


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("43-41", "lower to a higher"), ("0", "lower to a higher"), ("1000001", "1 to 1,000,000"),
        ("A1-B3", "one series to another"), ("1-3R", "by itself"), ("pallet 3", "no case number"),
        ("٣", "no case number"), ("²", "no case number"), ("1-2-3", "no case number"),
        ("ABCDE1", "no case number"),
    ],
)  # fmt: skip
def test_what_is_no_number_is_told_in_a_sentence(text, sentence):
    with pytest.raises(Unread, match=sentence):
        read_cases(text)
    assert cases_read(text) == []


def test_a_range_may_lie_in_several():
    days = [Cases("", 1, 10), Cases("", 11, 20)]
    assert Cases("", 9, 12).lies_in(days)
    assert not Cases("", 9, 21).lies_in(days)
    assert not Cases("A", 9, 12).lies_in(days)
    assert not Cases("", 10, 10, is_remnant=True).lies_in(days)


@pytest.fixture
def world(db):
    """43 cases of gin, lot K-2, 1–43, with 5 bottles in 43R; 12 bottles of vodka, lot K-V."""
    world = make_world()
    opened(world)
    bottle(world, cases=43, loose=5)
    vodka(world)
    return world


def remove(world, number, *rows, at=LATER, **more):
    facts = {"consignee": f"Shop {number} (invented)", "initials": "wr", **more}
    return world.record("remove", at, document=str(number), rows=list(rows), **facts)


def row(lot="K-2", **more):
    return {"lot": lot, **more}


def mixed(world, **more):
    """Four mixed cases, 44–47, of case 43 and twelve bottles of vodka."""
    return world.record(
        "recase", LATER, vessel="STORE", kind="mixed", cases=4, per_case=6,
        rows=[row(cases=1, case_serials="43"), row("K-V", cases=1)], **more,
    )  # fmt: skip


def asked(act, *arguments, **more):
    with pytest.raises(Asked) as question:
        act(*arguments, **more)
    return {one.code: one.text for one in question.value.plan.questions}


def test_cases_that_fit_the_book_raise_no_question(world):
    done = remove(world, 501, row(cases=30, serials="1-30"))
    assert done.entry.document == "501"
    assert remove(world, 502, row(bottles=5, serials="43R")).is_new
    assert remove(world, 503, row(cases=2)).is_new


@pytest.mark.parametrize(
    ("cells", "code", "words"),
    [
        ({"cases": 2, "serials": "43-44"}, "case-unknown", "not of lot K-2, whose cases are 1–43"),
        ({"cases": 3, "serials": "1-2"}, "case-count", "2 cases of lot K-2 are named, and the row"),
        ({"cases": 2, "serials": "1, 1"}, "case-twice", "Case 1 of lot K-2 stands here twice"),
        ({"cases": 2, "serials": "pallet"}, "case-unread", "“pallet” is no case number"),
    ],
)  # fmt: skip
def test_odd_numbers_are_asked_about_and_kept_once_confirmed(world, cells, code, words):
    questions = asked(remove, world, 501, row(**cells))
    assert words in questions[code]
    assert remove(world, 501, row(**cells), confirm=list(questions)).is_new


def test_a_case_of_another_product_is_told_by_its_own(world):
    mixed(world)
    told = asked(remove, world, 501, row("K-V", cases=1, serials="7"))
    assert "It was filled with lot K-2, Point gin." in told["case-unknown"]


def test_a_case_goes_once(world):
    first = remove(world, 501, row(cases=30, serials="1-30"))
    questions = asked(remove, world, 502, row(cases=2, serials="30-31"))
    assert questions["case-gone"].startswith(
        "Case 30–31 of lot K-2 is gone by the book: 501, "
        f"entry {first.entry.number} of 25 Mar 2026."
    )
    # What was taken back stands in the store again.
    world.record("reverse", LATER, entry=first.entry.number, reason="wrong invoice")
    assert remove(world, 503, row(cases=2, serials="30-31")).is_new


def test_a_record_instead_of_another_does_not_meet_itself(world):
    first = remove(world, 501, row(cases=3, serials="1-3"))
    again = remove(
        world, 501, row(cases=4, serials="1-4"), instead_of=first.entry.number, reason="one more"
    )
    assert again.is_new


def test_cases_of_the_shop_are_sold_from_it(world):
    remove(world, 501, row(cases=2, serials="1-2"), to="taxpaid", shop="STORE", consignee="")
    sold = world.record(
        "taxpaid-sell", LATER, kind="sell", document="T-1",
        rows=[row(cases=1, serials="1", store="STORE")],
    )  # fmt: skip
    assert sold.is_new
    questions = asked(
        world.record, "taxpaid-sell", LATER, kind="sell", document="T-2",
        rows=[row(cases=1, serials="1", store="STORE")],
    )  # fmt: skip
    assert "T-1" in questions["case-gone"]


def test_a_case_leads_to_who_has_it(world):
    remove(world, 501, row(cases=30, serials="1-30"))
    world.record(
        "ship-in-bond", LATER, rows=[row(cases=5, serials="31-35")],
        consignee="Estuary (invented)", registry="DSP-XX-00009", application="7",
        application_date="2026-01-02", container="cases", sealed=True, seals="1", conveyance="van",
        signer="Ada Quay", signer_title="Owner", statement=True,
    )  # fmt: skip
    (case,) = choices_for(world.premises, "GIN-750 17")
    (gone,) = Story(case.lot, case=case.case).case_gone
    assert (gone.consignee.name, gone.ending.entry.document) == ("Shop 501 (invented)", "501")
    (line,) = case_lines(Story(case.lot, case="33"))
    assert "Estuary (invented)" in line
    assert case_lines(Story(case.lot, case="40")) == [
        "Case 40: no record names it. Any of lot K-2 below may be it."
    ]
    out = StringIO()
    call_command("trace", "GIN-750", "17", stdout=out)
    assert "Case 17: 2026-03-25, removed on tax determination, 501, Shop 501" in out.getvalue()
    assert '"case": [' in as_json(Story(case.lot, case="17"))


def test_a_trace_tells_the_cases_that_went_by_each_record(world):
    remove(world, 501, row(cases=30, serials="1-30"))
    remove(world, 502, row(cases=2))
    lines = as_csv(Story(Lot.objects.get(code="K-2")), ("forward",)).splitlines()
    ends = [line.rpartition(",")[2].strip('"') for line in lines if line.startswith("out")]
    assert [("501" in line, "502" in line) for line in lines if line.startswith("out")] == [
        (True, False), (False, True)
    ]  # fmt: skip
    assert ends[0] == "1-30"
    assert '"of 1–43, 43R"' in lines[2]


def test_a_mixed_case_leads_back_to_every_lot_in_it(world):
    mixed(world)
    found = choices_for(world.premises, "45")
    assert [(one.lot.code, one.case) for one in found] == [("K-2", "45"), ("K-V", "45")]
    assert found[0].told == "case 45 of mixed bottles, lot K-2"
    remove(
        world, 501, row(bottles=3, serials="45"), row("K-V", bottles=3, serials="45"),
    )  # fmt: skip
    for one in choices_for(world.premises, "case 45"):
        (line,) = case_lines(Story(one.lot, case=one.case))
        assert "Shop 501 (invented)" in line


def test_a_bottle_lot_leads_forward_to_the_mixed_cases(world):
    done = mixed(world)
    for code, told in (("K-2", "1–43, 43R, mixed 44–47"), ("K-V", "mixed 44–47")):
        lot = Lot.objects.get(code=code)
        assert Story(lot).serials[lot.pk] == told
    (line,) = case_lines(Story(Lot.objects.get(code="K-2"), case="43"))
    assert line == f"Case 43: opened, entry {done.entry.number}, into 44–47."
    assert "case-gone" in asked(remove, world, 501, row(cases=1, serials="43"))
    world.record("reverse", LATER, entry=done.entry.number, reason="never made")
    assert Story(Lot.objects.get(code="K-V")).serials == {}


def test_a_mixed_case_is_known_for_each_lot_in_it(world):
    mixed(world)
    assert remove(
        world, 501, row(bottles=3, serials="44"), row("K-V", bottles=3, serials="44")
    ).is_new
    assert "case-unknown" in asked(remove, world, 502, row("K-V", bottles=3, serials="48"))


def test_records_and_pages_tell_the_numbers(world, client):
    done = remove(world, 501, row(cases=30, serials="1-30"))
    span = Span(world.premises, date(2026, 3, 1), date(2026, 3, 31))
    told = {slug: list(kinds()[slug].rows(span)) for slug in ("tax-determination", "daily-record")}
    assert told["tax-determination"][0].cells["data_to_compute_total_pg"].endswith("cases 1-30")
    assert "1-30" in {one.cells.get("container_serial") for one in told["daily-record"]}
    client.force_login(world.owner)
    assert "1-30" in client.get(f"/book/{done.entry.number}/").content.decode()
    page = client.get("/trace/", {"code": "GIN-750 17"}, follow=True).content.decode()
    assert "Case 17: 2026-03-25" in page
    assert client.get("/trace/K-2/", {"case": "²"}).status_code == 200
