"""Bad records: each gets its own sentence, beside its field, and leaves the book as it was.

The sentences are ours; what makes a record bad is plain (common practice, no source) unless a
section stands beside the row.
"""

from typing import Any

import pytest

from distillery.recording import Asked, Refused, post, prepare
from ledger.models import Descent, Entry, Holding, Lot, Movement
from tests.world import World, make_world

pytestmark = pytest.mark.django_db

GRAIN = {
    "operation": "receive-material", "at": "2026-02-02 09:00", "material": "CORN",
    "quantity": "1,000 lb", "vessel": "BIN-1", "supplier": "Dune Grain (invented)",
}  # fmt: skip
MASH = {
    "operation": "mash", "at": "2026-02-03 09:00", "into": "FV-1", "wash": "180 gal",
    "grains": [{"lot": "CORN-1", "quantity": "300 lb"}],
}  # fmt: skip
READING = {
    "operation": "ferment-reading", "at": "2026-02-04 09:00", "vessel": "FV-1",
    "gravity": "1.040", "temperature": "80 F",
}  # fmt: skip
BOND = {
    "operation": "receive-in-bond", "at": "2026-02-05 09:00", "consignor": "Skerry (invented)",
    "registry": "DSP-XX-00001", "document": "T-1", "consigned": "190 PG", "seals": "intact",
    "account": "storage", "vessel": "NS", "family": "spirits", "distilled_at": "190",
    "gauge": {"volume": "100 gal", "temperature": "60 F", "proof": "190"},
}  # fmt: skip


def gauge(**changes: Any) -> dict[str, Any]:
    """The receipt's gauge with some readings changed; None leaves one out."""
    base = {"volume": "100 gal", "temperature": "60 F", "proof": "190"} | changes
    return {"gauge": {name: value for name, value in base.items() if value is not None}}


# (base record, what is changed (None leaves it out), field of the sentence, a part of it)
BAD: list[tuple[dict[str, Any], dict[str, Any], str, str]] = [
    # the record itself
    (GRAIN, {"operation": None}, "operation", "no operation"),
    (GRAIN, {"operation": "receive-materials"}, "operation", "Did you mean “receive-material”"),
    (GRAIN, {"operation": 7}, "operation", "no operation “7”"),
    (GRAIN, {"key": None}, "key", "a key of its own"),
    (GRAIN, {"key": "x" * 81}, "key", "80 characters"),
    (GRAIN, {"qantity": "1 lb"}, "qantity", "Did you mean “quantity”"),
    (GRAIN, {"account": "storage"}, "account", "no field “account”"),
    (GRAIN, {"late": "amend"}, "late", "Only the owner"),
    (GRAIN, {"reason": "y" * 401}, "reason", "400 characters"),
    # hidden and turned characters
    (GRAIN, {"supplier": "Dune\x00Grain"}, "supplier", "Hidden control characters"),
    (GRAIN, {"note": "ok\x1b[2J"}, "note", "Hidden control characters"),
    (GRAIN, {"quantity": "\u202e000,1 lb"}, "quantity", "Hidden control characters"),
    (GRAIN, {"supplier": "Du\u200bne"}, "supplier", "Hidden control characters"),
    (GRAIN, {"no\x07te": "x"}, "record", "Hidden control characters"),
    (GRAIN, {"quantity": "١٠٠٠ lb"}, "quantity", "type it as 240 lb"),
    (GRAIN, {"quantity": "אלף lb"}, "quantity", "type it as 240 lb"),
    # when
    (GRAIN, {"at": None}, "at", "required"),
    (GRAIN, {"at": "yesterday"}, "at", "2026-01-29 18:30"),
    (GRAIN, {"at": "2026-02-30 09:00"}, "at", "2026-01-29 18:30"),
    (GRAIN, {"at": "0001-01-01"}, "at", "2026-01-29 18:30"),
    (GRAIN, {"at": "2099-01-01 09:00"}, "at", "lies in the future"),
    # quantities
    (GRAIN, {"quantity": None}, "quantity", "required"),
    (GRAIN, {"quantity": ""}, "quantity", "required"),
    (GRAIN, {"quantity": "20 gal"}, "quantity", "here a weight belongs"),
    (GRAIN, {"quantity": "-5 lb"}, "quantity", "below zero"),
    (GRAIN, {"quantity": "0 lb"}, "quantity", "more than nothing"),
    (GRAIN, {"quantity": "NaN"}, "quantity", "type it as 240 lb"),
    (GRAIN, {"quantity": "Infinity lb"}, "quantity", "type it as 240 lb"),
    (GRAIN, {"quantity": "1e9 lb"}, "quantity", "unit of weight"),
    (GRAIN, {"quantity": "999999999999 lb"}, "quantity", "is outside"),
    (GRAIN, {"quantity": "145,0 lb"}, "quantity", "a comma only parts thousands"),
    (GRAIN, {"quantity": "12 parsecs"}, "quantity", "not a unit of weight"),
    (GRAIN, {"quantity": "9" * 60}, "quantity", "too long"),
    (GRAIN, {"moisture": "140 %"}, "moisture", "is outside"),
    (GRAIN, {"quantity": {"lb": 3}}, "quantity", "240 lb"),
    # things of the plant
    (GRAIN, {"material": "BARLEYCORN"}, "material", "Add it under Plant"),
    (GRAIN, {"vessel": "BIN-9"}, "vessel", "no vessel “BIN-9”"),
    (GRAIN, {"vessel": "FV-1"}, "vessel", "is a fermenter"),
    (GRAIN, {"vessel": "ELSE-1"}, "vessel", "no vessel “ELSE-1”"),  # another plant's
    (GRAIN, {"lot": "a/b\\c"}, "lot", "letters, digits"),
    (GRAIN, {"lot": "CORN-1"}, "__all__", "already a lot “CORN-1”"),
    (GRAIN, {"supplier": "s" * 201}, "supplier", "200"),
    # rows
    (MASH, {"grains": []}, "grains", "at least one row"),
    (MASH, {"grains": "300 lb"}, "grains", "list of rows"),
    (MASH, {"grains": ["300 lb"]}, "grains", "named fields"),
    (MASH, {"grains": [{"lot": "CORN-1"}]}, "grains", "Row 1"),
    (MASH, {"grains": [{"lot": "CORN-9", "quantity": "3 lb"}]}, "grains", "no lot “CORN-9”"),
    (MASH, {"grains": [{"lot": "NS-1", "quantity": "3 lb"}]}, "grains", "needs material"),
    (MASH, {"grains": [{"lot": "CORN-1", "qty": "3 lb"}]}, "grains", "no “qty” here"),
    (MASH, {"grains": [{"lot": "CORN-1", "quantity": "1 lb"}] * 201}, "grains", "At most 200"),
    (MASH, {"into": "NS"}, "into", "this needs a fermenter"),
    (MASH, {"wash": "180 lb"}, "wash", "here a volume belongs"),
    (MASH, {"gravity": "1065"}, "gravity", "has no point"),
    # dated before the lot existed: the grain came on 1 February
    (MASH, {"at": "2026-01-20 09:00"}, "grains", "nothing left of lot CORN-1"),
    # readings
    (READING, {"ph": "15"}, "ph", ""),
    (READING, {"temperature": "900 F"}, "temperature", "is outside"),
    (READING, {"gravity": "heavy"}, "gravity", "type it as 1.065"),
    # gauges (27 CFR 30.31, 30.23, 30.43)
    (BOND, gauge(proof="201"), "gauge", "from 0 to 200"),
    (BOND, gauge(proof="-1"), "gauge", "below zero"),
    (BOND, gauge(proof=None), "gauge", "either the proof at 60"),
    (BOND, gauge(reading="190"), "gauge", "either the proof at 60"),
    (BOND, gauge(volume=None), "gauge", "Give either a volume"),
    (BOND, gauge(net="600 lb"), "gauge", "Give either a volume"),
    (BOND, gauge(temperature=None), "gauge", "Give the temperature"),
    (BOND, gauge(volume=None, temperature=None, gross="50 lb", tare="60 lb"), "gauge", "tare"),
    (BOND, gauge(volume=None, temperature=None, gross="650 lb"), "gauge", "Give the tare"),
    (BOND, gauge(proof=None, reading="100", temperature="180 F"), "gauge", ""),
    (BOND, {"gauge": "100 gal"}, "gauge", "named fields"),
    (BOND, {"gauge": None}, "gauge", "gauged on receipt"),
    (BOND, {"account": "fermenting"}, "account", "is not one of"),
    (BOND, {"account": "moon"}, "account", "is not one of"),
    (BOND, {"source": "lunar"}, "source", "is not one of"),
    (BOND, {"family": "perfume"}, "family", "is not one of"),
    (BOND, {"family": "whisky", "distilled_at": None}, "", "istillation proof"),
    # 27 CFR 19.351(c): no door leads from processing back to storage
    (BOND, {"operation": "return-to-storage"}, "operation", "no operation"),
    # taking back and correcting
    ({"operation": "reverse", "at": "2026-02-09 09:00", "entry": "99", "reason": "x"}, {},
     "entry", "no entry 99"),
    ({"operation": "reverse", "at": "2026-02-09 09:00", "entry": "1"}, {}, "reason", "Say why"),
    ({"operation": "reverse", "at": "2026-02-09 09:00", "entry": "one", "reason": "x"}, {},
     "entry", ""),
]  # fmt: skip


@pytest.fixture
def world() -> World:
    """A plant with grain, a wash and neutral spirits on hand, and a stranger next door."""
    from ledger.models import Premises, Vessel

    made = make_world()
    other = Premises.objects.create(registry="DSP-XX-00009", name="Elsewhere (invented)")
    Vessel.objects.create(premises=other, code="ELSE-1", kind="bin")
    start = {"key": "start", "lot": "CORN-1", "at": "2026-02-01 09:00"}
    for key, data in (
        ("grain", GRAIN | start),
        ("bond", BOND | {"lot": "NS-1", "at": "2026-02-01 10:00"}),
        ("mash", MASH | {"lot": "WASH-1", "at": "2026-02-01 11:00"}),
    ):
        post(prepare({**data, "key": key}, premises=made.premises, user=made.owner))
    return made


def book() -> list[Any]:
    """Everything that a refused record must leave alone."""
    tables = (Entry, Movement, Lot, Holding, Descent)
    return [list(table.objects.order_by("pk").values()) for table in tables]


@pytest.mark.parametrize(
    ("base", "changes", "where", "says"), BAD, ids=[f"{n}-{row[2]}" for n, row in enumerate(BAD)]
)
def test_a_bad_record_is_told_and_leaves_the_book(world, base, changes, where, says):
    before = book()
    data = {"key": "bad", **base, **changes}
    data = {name: value for name, value in data.items() if value is not None}
    with pytest.raises(Refused) as refused:
        post(prepare(data, premises=world.premises, user=world.operator))
    errors = refused.value.errors
    assert where in errors or not where, errors
    assert says in str(refused.value)
    assert book() == before


def test_every_sentence_is_a_sentence_of_its_own(world):
    """Not one text for all: the table's sentences differ, and none is a bare code."""
    seen = set()
    for base, changes, _, _ in BAD:
        data = {"key": "bad", **base, **changes}
        data = {name: value for name, value in data.items() if value is not None}
        with pytest.raises(Refused) as refused:
            post(prepare(data, premises=world.premises, user=world.operator))
        text = str(refused.value)
        assert text.rstrip().endswith((".", "?", "…")), text
        seen.add(text)
    assert len(seen) >= 50


def test_a_key_with_other_content_is_refused(world):
    """Same key, other quantity: an error, not a second entry."""
    before = book()
    data = {**GRAIN, "key": "grain", "quantity": "2,000 lb"}
    with pytest.raises(Refused, match="used for entry 1 with other content"):
        post(prepare(data, premises=world.premises, user=world.operator))
    assert book() == before


def test_a_reader_records_nothing(world):
    with pytest.raises(Refused, match="may not record"):
        prepare({**GRAIN, "key": "r"}, premises=world.premises, user=world.reader)


def test_drawing_more_than_the_book_has_is_refused_once_then_taken_as_a_gain(world):
    """Recording is not authorising: the offer comes first, then the explicit gain."""
    before = book()
    data = {**MASH, "into": "FV-2", "key": "more"}
    data["grains"] = [{"lot": "CORN-1", "quantity": "750 lb"}]
    with pytest.raises(Asked) as asked:
        post(prepare(data, premises=world.premises, user=world.operator))
    assert "found-more" in [question.code for question in asked.value.plan.questions]
    assert book() == before
    codes = [question.code for question in asked.value.plan.questions]
    done = post(prepare(data | {"confirm": codes}, premises=world.premises, user=world.operator))
    gains = done.entry.movements.filter(from_account="gain")
    assert [(row.amount, row.to_account) for row in gains] == [(5000, "materials")]


def test_filling_above_a_vessels_size_is_refused_once_then_taken(world):
    before = book()
    data = {**MASH, "into": "FV-2", "wash": "400 gal", "key": "big"}
    with pytest.raises(Asked, match="264"):
        post(prepare(data, premises=world.premises, user=world.operator))
    assert book() == before
    with pytest.raises(Asked) as asked:
        post(prepare(data, premises=world.premises, user=world.operator))
    codes = [question.code for question in asked.value.plan.questions]
    assert "over-capacity" in codes
    post(prepare(data | {"confirm": codes}, premises=world.premises, user=world.operator))
    assert Holding.objects.get(vessel__code="FV-2").wine_gallons == 40000


def test_a_late_record_that_leaves_a_later_moment_short_is_asked_then_gains_then(world):
    """A draw dated back before one already recorded: the gain stands at that moment."""
    late = {**MASH, "into": "FV-2", "at": "2026-02-01 10:30", "key": "late"}
    late["grains"] = [{"lot": "CORN-1", "quantity": "800 lb"}]
    with pytest.raises(Asked, match="recorded up to"):
        post(prepare(late, premises=world.premises, user=world.operator))
    with pytest.raises(Asked) as asked:
        post(prepare(late, premises=world.premises, user=world.operator))
    codes = [question.code for question in asked.value.plan.questions]
    done = post(prepare(late | {"confirm": codes}, premises=world.premises, user=world.operator))
    gain = done.entry.movements.get(from_account="gain")
    assert (gain.amount, gain.at) == (10000, done.entry.happened_at)
