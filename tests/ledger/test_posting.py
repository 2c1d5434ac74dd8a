"""The one door: what it writes, what it refuses, and that it is all or nothing."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from django.db import IntegrityError, connection, transaction

from ledger.closing import close
from ledger.errors import (
    BadFact,
    Changed,
    FutureDate,
    KeyConflict,
    MonthClosed,
    NotClosable,
    NotReversible,
    Short,
    UnknownFlow,
    UnknownName,
)
from ledger.models import Descent, Entry, Holding, Lot, Movement, Premises, Vessel
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.posting import preview, record
from ledger.reversing import difference, reversal
from ledger.verifying import verify
from ledger.writing import Act

pytestmark = pytest.mark.django_db
DAY = datetime(2026, 3, 10, 15, tzinfo=UTC)


@pytest.fixture
def plant():
    premises = Premises.objects.create(registry="DSP-XX-00000", name="Marram Point (invented)")
    for code, kind in [("T-1", "tank"), ("T-2", "tank"), ("BT", "bottling_tank"), ("ST", "store")]:
        Vessel.objects.create(premises=premises, code=code, kind=kind)
    return premises


def act(key, *, at=DAY, operation="test", **more):
    return Act(operation, at, "ada", key, "{}", **more)


def spirits(code, **facts):
    return NewLot(code, "spirits", "pg", "Neutral spirits", class_code="spirits_190", **facts)


def receive(code="N-{n}", vessel="T-1", wine=10000, proof=19000):
    leg = Leg(
        Place("other_plant", code),
        Place("storage", code, vessel),
        "receive",
        wine_gallons=wine,
        proof_gallons=proof,
        proof=1900,
    )
    return Plan(legs=(leg,), lots=(spirits(code),))


def draw(lot, wine, proof, *, vessel="T-1"):
    leg = Leg(Place("storage", lot, vessel), Place("loss", lot), "spill", 0, wine, proof)
    return Plan(legs=(leg,))


def post(premises, key, plan, **more):
    timing = {
        name: more.pop(name) for name in ("at", "operation", "reason", "reverses") if name in more
    }
    return record(lambda look: plan, premises=premises, act=act(key, **timing), **more)


def book(premises):
    return (
        Entry.objects.filter(premises=premises).count(),
        Movement.objects.count(),
        Lot.objects.count(),
        sorted(Holding.objects.values_list("account", "wine_gallons", "proof_gallons")),
    )


def test_it_writes_entry_lot_movement_and_holding(plant):
    posted = post(plant, "a", receive())
    assert posted.is_new
    assert posted.entry.number == 1
    assert Lot.objects.get().code == "N-1"
    held = Holding.objects.get()
    assert (held.account, held.wine_gallons, held.proof_gallons) == ("storage", 10000, 19000)


def test_the_same_key_with_the_same_content_writes_nothing(plant):
    first = post(plant, "a", receive())
    before = book(plant)
    again = post(plant, "a", receive())
    assert (again.entry.pk, again.is_new) == (first.entry.pk, False)
    assert book(plant) == before


def test_the_same_key_with_other_content_is_an_error(plant):
    post(plant, "a", receive())
    with pytest.raises(KeyConflict, match="other content"):
        post(plant, "a", receive(), at=DAY + timedelta(hours=1))


def test_it_refuses_more_than_the_vessel_holds(plant):
    post(plant, "a", receive())
    before = book(plant)
    with pytest.raises(Short, match=r"T-1 has only .*190\.00 PG.* 10\.00 PG less"):
        post(plant, "b", draw("N-1", 10000, 20000))
    assert book(plant) == before


def test_a_confirmed_shortage_becomes_an_explicit_gain(plant):
    post(plant, "a", receive())
    posted = post(plant, "b", draw("N-1", 10000, 20000), accept_shortage=True)
    legs = list(posted.entry.movements.order_by("leg").values_list("from_account", "proof_gallons"))
    assert legs == [("gain", 1000), ("storage", 20000)]


def test_a_late_draw_that_leaves_a_later_one_short_is_refused(plant):
    post(plant, "a", receive())
    post(plant, "b", draw("N-1", 9000, 17100), at=DAY + timedelta(days=3))
    with pytest.raises(Short, match="recorded up to 13 Mar 2026"):
        post(plant, "c", draw("N-1", 2000, 3800), at=DAY + timedelta(days=1))


def test_a_late_draw_sees_the_book_of_its_moment(plant):
    post(plant, "a", receive())
    post(plant, "b", draw("N-1", 9000, 17100), at=DAY + timedelta(days=3))
    seen = []

    def planner(look):
        seen.append([held.proof_gallons for held in look("T-1")])
        return draw("N-1", 1000, 1900)

    record(planner, premises=plant, act=act("c", at=DAY + timedelta(days=1)))
    assert seen == [[19000]]


def test_a_draw_before_the_lot_existed_is_refused(plant):
    post(plant, "a", receive())
    with pytest.raises(Short, match=r"only 0\.00 WG"):
        post(plant, "b", draw("N-1", 100, 190), at=DAY - timedelta(days=1))


def test_it_refuses_the_future(plant):
    with pytest.raises(FutureDate):
        post(plant, "a", receive(), now=DAY - timedelta(hours=1))


def test_it_refuses_a_flow_that_is_not_in_the_table(plant):
    post(plant, "a", receive())
    leg = Leg(Place("storage", "N-1", "T-1"), Place("finished", "N-1", "ST"), "bottle", 0, 1, 1)
    with pytest.raises(UnknownFlow, match="no movement from storage to finished"):
        post(plant, "b", Plan(legs=(leg,)))


def test_spirits_never_go_from_processing_back_to_storage(plant):
    """27 CFR 19.351(c)."""
    post(plant, "a", receive())
    leg = Leg(Place("processing", "N-1", "T-1"), Place("storage", "N-1", "T-1"), "move", 0, 1, 1)
    with pytest.raises(UnknownFlow):
        post(plant, "b", Plan(legs=(leg,)))


def test_it_refuses_unknown_vessels_and_lots(plant):
    with pytest.raises(UnknownName, match="no vessel “T-9”"):
        post(plant, "a", receive(vessel="T-9"))
    with pytest.raises(UnknownName, match="no lot “N-9”"):
        post(plant, "b", draw("N-9", 1, 1))


@pytest.mark.parametrize("bad", [1.9, True, "3"])
def test_it_refuses_quantities_that_are_not_whole(plant, bad):
    with pytest.raises(Exception, match="whole numbers"):
        post(plant, "a", receive(proof=bad))


def test_it_refuses_a_lot_code_twice(plant):
    post(plant, "a", receive("N-1"))
    with pytest.raises(BadFact, match="already a lot “N-1”"):
        post(plant, "b", receive("N-1"))


def test_storage_refuses_to_mingle_different_kinds(plant):
    post(plant, "a", receive())
    gin = replace(spirits("G-1"), class_code="gin")
    leg = Leg(Place("storage", "N-1", "T-1"), Place("storage", "G-1", "T-2"), "mingle", 0, 1, 1)
    with pytest.raises(BadFact, match="not mingled in storage"):
        post(plant, "b", Plan(legs=(leg,), lots=(gin,)))


def test_a_preview_that_no_longer_holds_is_shown_again(plant):
    shown = preview(lambda look: receive(), premises=plant, happened_at=DAY)
    changed = receive(proof=18900)
    with pytest.raises(Changed) as caught:
        post(plant, "a", changed, previewed=shown.digest())
    assert caught.value.plan == changed


def test_a_reversal_subtracts_from_the_same_flow(plant):
    entry = post(plant, "a", receive()).entry
    record(lambda look: reversal(entry, look), premises=plant, signed=True,
           act=act("b", reverses=entry, reason="typed twice"))  # fmt: skip
    rows = Movement.objects.values_list("from_account", "to_account", "purpose", "proof_gallons")
    assert sorted(rows, key=lambda row: row[3]) == [
        ("other_plant", "storage", "receive", -19000),
        ("other_plant", "storage", "receive", 19000),
    ]
    with pytest.raises(NotReversible, match="already taken back by entry 2"):
        reversal(Entry.objects.get(number=1), None)


def test_correcting_by_difference_posts_only_the_delta(plant):
    entry = post(plant, "a", receive()).entry
    plan = difference(entry, None, leg=1, wine_gallons=9900, proof_gallons=18810)
    posted = record(lambda look: plan, premises=plant, signed=True, act=act("b", corrects=entry))
    assert posted.entry.movements.get().proof_gallons == -190
    assert Holding.objects.get().proof_gallons == 18810


def test_a_closed_month_takes_no_more(plant):
    post(plant, "a", receive())
    close(plant, DAY.date().replace(day=1), by="ada")
    with pytest.raises(MonthClosed, match="March 2026 is closed"):
        post(plant, "b", draw("N-1", 100, 190), at=DAY + timedelta(days=1))


def test_the_owner_can_amend_a_closed_month(plant):
    post(plant, "a", receive())
    close(plant, DAY.date().replace(day=1), by="ada")
    late = post(plant, "b", draw("N-1", 100, 190), late="amend", reason="found the slip")
    assert (str(late.entry.period), str(late.entry.amends)) == ("2026-04", "2026-03")


def test_months_are_closed_in_order(plant):
    post(plant, "a", receive())
    with pytest.raises(NotClosable, match="Close March 2026 first"):
        close(plant, datetime(2026, 5, 1).date(), by="ada", now=datetime(2026, 7, 1, tzinfo=UTC))


@pytest.mark.parametrize("model", [Entry, Movement, Lot])
def test_the_book_cannot_be_updated_or_deleted(plant, model):
    post(plant, "a", receive())
    column = {"Entry": "by", "Movement": "purpose", "Lot": "name"}[model.__name__]
    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
        model.objects.update(**{column: "x"})
    table = model._meta.db_table
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(f"DELETE FROM {table}")


def test_verify_finds_nothing_wrong_with_a_true_book(plant):
    post(plant, "a", receive())
    post(plant, "b", draw("N-1", 100, 190))
    close(plant, DAY.date().replace(day=1), by="ada")
    report = verify(plant)
    assert (report.entries, report.movements, report.faults) == (2, 2, [])


def test_verify_names_a_holding_that_was_tampered_with(plant):
    post(plant, "a", receive())
    Holding.objects.update(proof_gallons=1)
    assert "Holding of N-1 in T-1 (storage)" in verify(plant).faults[0]


def test_a_lot_poured_into_another_is_its_parent(plant):
    post(plant, "a", receive())
    leg = Leg(Place("storage", "N-1", "T-1"), Place("storage", "M-1", "T-2"), "mingle", 0, 50, 95)
    post(plant, "b", Plan(legs=(leg,), lots=(spirits("M-1"),)))
    pair = Descent.objects.get()
    assert (pair.parent.code, pair.child.code, pair.proof_gallons) == ("N-1", "M-1", 95)


def test_posting_takes_at_most_twelve_queries(plant, django_assert_max_num_queries):
    post(plant, "a", receive())

    def planner(look):
        look("T-1", "T-2")
        leg = Leg(Place("storage", "N-1", "T-1"), Place("storage", "M-1", "T-2"), "mingle", 0, 9, 9)
        return Plan(legs=(leg,), lots=(spirits("M-1"),))

    with django_assert_max_num_queries(14) as captured:  # 12 and the savepoint's two
        record(planner, premises=plant, act=act("b"))
    rows = [q["sql"] for q in captured.captured_queries]
    rows = [sql for sql in rows if not sql.startswith(("SAVEPOINT", "RELEASE", "BEGIN", "COMMIT"))]
    assert len(rows) <= 12, "\n".join(rows)
