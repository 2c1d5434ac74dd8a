"""The credit for wine and flavor content: off by itself, then by kept rates and never below zero.

Sources: 26 U.S.C. 5010(c), 5041(b)(1)-(3); 27 CFR 19.246 (the formula and its example (c)),
19.247-19.249, 19.612, 19.613, 19.615(b). How the credit goes with a reduced rate is a reading of
summaries of guidance; Industry Circular 2022-3 was not read. The batch is that of 19.246(c).
"""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from distillery.models import DatedSetting, Material
from ledger.looking import Look
from ledger.models import Lot
from ledger.plan import Leg, Place
from ledger.reversing import reversal
from reports.batch_content import Contents, wine_rate
from reports.faces import json as json_face
from reports.faces.return_sheet import sheet_of_return
from reports.faces.sheet import sheet_of_tax
from reports.kept_rates import average, by_batch, keep, mixed_lots, standard
from reports.models import EligibleContent
from reports.month_book import read_book
from reports.return_filing import figure_on, file_return
from reports.return_kept import figure_as_filed
from reports.tax import tax_from
from reports.told import Told
from tests.distillery.stock import put
from tests.reports import filing_cases
from tests.reports.liqueurs import GENERAL_RATE, bottle, mixed, remove
from tests.reports.months import LATER, leg, spirits
from tests.world import make_world

pytestmark = pytest.mark.django_db
GENERAL = Decimal("13.50")
MARCH = date(2026, 3, 1)
EXAMPLE = next(row for row in filing_cases.ROWS if row["id"] == "etr-1-rate")
QUANTITIES = next(row for row in filing_cases.ROWS if row["id"] == "etr-1-denominator")


@pytest.fixture
def world():
    return make_world()


@pytest.fixture
def book(world):
    return mixed(world)


def mark(world, *lots, is_eligible=True):
    for lot in lots:
        EligibleContent.objects.create(
            premises=world.premises, lot=lot, is_eligible=is_eligible, why="approval (invented)",
            marked_by="ada",
        )  # fmt: skip


def switch(world, method, day=date(2026, 1, 1)):
    DatedSetting.objects.create(
        premises=world.premises, name="content_credit", value=method, effective=day
    )


def keep_batch(world, lot="K-1"):
    worked = by_batch(content(world, lot), GENERAL)
    return keep(world.premises, "batch", worked, effective=MARCH, by="ada", lot=lot)


def content(world, lot):
    return Contents(world.premises).of(Lot.objects.get(code=lot))


def tax(world, month=MARCH):
    world.premises.refresh_from_db()
    return tax_from(read_book(world.premises, month))


def shares(world):
    return [
        (str(s.rate), str(s.proof_gallons), str(s.tax))
        for document in tax(world).documents
        for s in document.shares
    ]


ALL = ("W-14", "W-19", "VAN-1")


def test_the_book_gives_the_batch_of_the_regulations_example(world, book):
    mark(world, *ALL)
    for lot in ("B-1", "K-1"):  # a bottling has the content of its batch
        batch = content(world, lot).batch
        assert batch.proof_gallons == Decimal(QUANTITIES["expect"]["total_pg"])
        assert batch.taxed_flavors == Decimal(QUANTITIES["expect"]["flavor_excess_pg"])
        rate, worked = by_batch(content(world, lot), GENERAL)
        assert worked["tax"] == EXAMPLE["expect"]["numerator"], EXAMPLE["source"]
        assert str(rate) == EXAMPLE["expect"]["rate_to_cents"] == GENERAL_RATE


def test_what_nobody_marked_counts_as_spirits(world, book):
    # 26 U.S.C. 5010(c): only eligible wine and flavor
    assert by_batch(content(world, "K-1"), GENERAL)[0] == GENERAL
    mark(world, *ALL)
    mark(world, *ALL, is_eligible=False)  # the newest mark counts
    assert by_batch(content(world, "K-1"), GENERAL)[0] == GENERAL


@pytest.mark.parametrize(
    ("abv", "rate"),
    [("14", "1.07"), ("16", "1.07"), ("16.1", "1.57"), ("21", "1.57"), ("24", "3.15")],
)
def test_wine_is_taxed_by_its_strength(abv, rate):
    # 26 U.S.C. 5041(b)(1)-(3); above 24 per cent 5001(a)(3) taxes it as spirits
    assert wine_rate(Decimal(abv)) == Decimal(rate)
    assert wine_rate(Decimal("24.1")) is None


def test_with_the_rule_off_no_figure_changes(world, book):
    # 120 bottles: 14.27 PG, 14.3 to the tenth, at 2.70
    remove(book, "2026-03-20 10:00", "501", "K-1", 120)
    before = json_face.tax_content(tax(world))
    mark(world, *ALL)
    keep_batch(world)
    assert json_face.tax_content(tax(world)) == before
    assert shares(world) == [("2.70", "14.3", "38.61")]
    assert not any("Credit" in table.title for table in sheet_of_tax(tax(world)).tables)


def test_a_credit_is_off_unless_the_owner_switches_it_on(world):
    assert DatedSetting.value_on(world.premises, "content_credit", MARCH) == "off"


@pytest.mark.parametrize("row", filing_cases.rows("wine_flavor_credit"))
def test_with_the_rule_on_the_credit_comes_off_the_tier_and_stops_at_zero(world, book, row):
    mark(world, *ALL)
    keep_batch(world)
    switch(world, "batch")
    remove(book, "2026-03-20 10:00", "501", "K-1", 120)
    # 2.70 less 3.23 is below zero
    assert shares(world) == [(row["expect"]["min_effective_rate"], "14.3", "0.00")], row["source"]
    assert tax(world).used_after == Decimal("14.3")  # it counts toward the reduced rates


def test_above_the_lowest_tier_the_whole_credit_counts(world, book):
    # 13.34 and 13.50 less 3.23: 10.11 and 10.27, on 4.3 and 10.0 PG
    mark(world, *ALL)
    keep_batch(world)
    switch(world, "batch")
    DatedSetting.objects.create(
        premises=world.premises, name="reduced_share", value="10", effective=date(2026, 1, 1)
    )
    remove(book, "2026-03-20 10:00", "501", "K-1", 120)
    assert shares(world) == [("0.00", "10.0", "0.00"), ("10.11", "4.3", "43.47")]


def test_a_document_is_split_by_the_rates_of_its_lots(world, book):
    # 27 CFR 19.612: proof gallons to a tenth at each effective rate
    mark(world, *ALL)
    bottle(book, "2026-03-06 09:00", "K-2", 600)
    keep_batch(world)
    switch(world, "batch")
    DatedSetting.objects.create(
        premises=world.premises, name="reduced_share", value="0", effective=date(2026, 1, 1)
    )
    for lot in ("K-1", "K-2"):
        remove(book, "2026-03-20 10:00", "501", lot, 120)
    # K-2 has no kept rate: 14.3 x 13.34, then 14.3 x 10.11
    assert shares(world) == [("13.34", "14.3", "190.76"), ("10.11", "14.3", "144.57")]


def test_the_rule_counts_from_its_day(world, book):
    mark(world, *ALL)
    keep_batch(world)
    switch(world, "batch", date(2026, 3, 20))
    remove(book, "2026-03-19 10:00", "501", "K-1", 120)
    remove(book, "2026-03-20 10:00", "502", "K-1", 120)
    assert [row[0] for row in shares(world)] == ["2.70", "0.00"]


def test_a_cancelled_document_takes_its_credit_back(world, book):
    mark(world, *ALL)
    keep_batch(world)
    switch(world, "batch", date(2026, 3, 20))
    remove(book, "2026-03-20 10:00", "501", "K-1", 120)
    entry = world.premises.entries.get(document="501")
    legs = reversal(entry, Look(entry.premises, LATER)).legs
    book.post("2026-03-21 10:00", *legs, reverses=entry, reason="never left")
    (document,) = tax(world).documents
    assert (document.proof_gallons, document.tax, document.reduced) == (0, 0, 0)


def test_a_shortage_has_no_credit(world, book):
    mark(world, *ALL)
    keep_batch(world)
    switch(world, "batch")
    book.post(
        "2026-03-31 17:00",
        Leg(Place("finished", "K-1", "STORE"), Place("shortage", "K-1"), "count", 12, 238, 143),
        operation="count",
    )
    assert shares(world) == [("2.70", "1.4", "3.78")]


def test_the_worksheets_say_which_lots_and_that_it_is_unconfirmed(world, book):
    mark(world, *ALL)
    keep_batch(world)
    switch(world, "batch")
    remove(book, "2026-03-20 10:00", "501", "K-1", 120)
    world.premises.refresh_from_db()
    for sheet in (
        sheet_of_tax(tax(world)),
        sheet_of_return(figure_on(world.premises, MARCH, now=LATER)),
    ):
        (table,) = [one for one in sheet.tables if "Credit" in one.title]
        assert table.rows == (("501", "K-1", "10.27", "2.70", "0.00", "14.3"),)
        assert "Industry Circular 2022-3 was not read" in table.notes[0]
    (told,) = json_face.tax_content(tax(world))["documents"][0]["shares"]
    assert (told["lots"], told["effective"]) == (["K-1"], "10.27")


def test_a_filed_return_keeps_its_credit(world, book):
    mark(world, *ALL)
    keep_batch(world)
    switch(world, "batch")
    remove(book, "2026-03-20 10:00", "501", "K-1", 120)
    told = Told(filed_on=date(2026, 4, 14), filed_by="Ada Quay", how="portal")
    row = file_return(
        world.premises, MARCH, told, by="ada", now=datetime(2026, 4, 14, 18, tzinfo=UTC)
    )
    (share,) = figure_as_filed(row).documents[0].shares
    assert (share.lots, share.effective, share.before) == (
        ("K-1",),
        Decimal("10.27"),
        Decimal("2.70"),
    )


def test_a_standard_rate_is_the_greatest_a_product_can_have(world, book):
    # 27 CFR 19.615(b): 0.031 of flavor counts as 0.025; 0.1 gal of 19 % wine is 0.038 PG:
    # 0.937 x 13.50 + 0.1 x 1.57 = 12.8065
    rate, worked = standard(
        least_flavor=Decimal("0.031"), wine_gallons=Decimal("0.1"), wine_abv=Decimal(19),
        general=GENERAL,
    )  # fmt: skip
    assert (str(rate), worked["flavor_used"]) == ("12.81", "0.025")
    keep(world.premises, "standard", (rate, worked), effective=date(2026, 3, 20), by="ada",
         product="LIQ-750")  # fmt: skip
    switch(world, "standard")
    remove(book, "2026-03-19 10:00", "501", "K-1", 120)
    remove(book, "2026-03-20 10:00", "502", "K-1", 120)
    # 2.70 less 0.69 is 2.01
    assert shares(world) == [("2.70", "14.3", "38.61"), ("2.01", "14.3", "28.74")]


def test_more_than_a_proof_gallon_is_no_standard():
    with pytest.raises(ValueError, match="More than a proof gallon"):
        standard(
            least_flavor=Decimal(0), wine_gallons=Decimal(3), wine_abv=Decimal(20), general=GENERAL
        )


def test_an_average_rate_is_of_the_six_months_before_and_serves_one(world, book):
    # 27 CFR 19.613: tax over proof gallons; one batch, so its own rate to the cent
    mark(world, *ALL)
    bottle(book, "2026-04-06 09:00", "K-2", 600)
    assert average(world.premises, "LIQ-750", MARCH) is None
    rate, worked = average(world.premises, "LIQ-750", date(2026, 5, 1))
    # 142.65 and 71.33 PG, to a tenth, at 34,611.90 / 3,371.8 of 19.246(c)
    told = [row for row in worked["months"] if row["proof_gallons"] != "0"]
    assert [(row["month"], row["proof_gallons"], row["tax"]) for row in told] == [
        ("2026-03", "142.7", "1464.83"), ("2026-04", "71.3", "731.90"),
    ]  # fmt: skip
    assert str(rate) == GENERAL_RATE
    keep(world.premises, "average", (rate, worked), effective=date(2026, 3, 1), by="ada",
         until=date(2026, 3, 31), product="LIQ-750")  # fmt: skip
    switch(world, "average")
    remove(book, "2026-03-31 10:00", "501", "K-1", 120)
    remove(book, "2026-04-01 10:00", "502", "K-1", 120)
    assert [row[0] for row in shares(world)] == ["0.00"]
    (later,) = tax(world, date(2026, 4, 1)).documents
    assert str(later.shares[0].rate) == "2.70"


def test_a_blend_has_the_content_of_its_parts(world, book):
    # Half spirits, half of the batch of 19.246(c): half its wine and flavor
    mark(world, *ALL)
    put(world, "processing", "S-1", "GNS", wine="100", proof="100")
    book.post(
        "2026-03-07 09:00",
        leg("processing GNS S-1", "processing B-2 S-1", "blend", 10000, 10000),
        leg("processing B-1 P-1", "processing B-2 S-1", "blend", 16667, 10000),
        lots=(spirits("B-2", "other", "liqueur", stage="batch"),),
    )
    found = content(world, "B-2")
    assert round(found.proof_gallons, 2) == 200
    flavors = sum(one.proof_gallons for one in found.ingredients if one.kind == "flavor")
    assert round(flavors, 4) == round(Decimal("100.9") / Decimal("3371.8") * 100, 4)


def test_the_operation_gives_content_too(world):
    # 80.00 PG of rum, 10 gal of 20 % wine (4.00 PG), 2 gal of flavor at 70 proof (1.40 PG)
    Material.objects.create(
        premises=world.premises, code="VANILLA", name="Vanilla extract", kind="other", unit="gal"
    )
    put(world, "processing", "P-1", "RUM", wine="100", proof="80", class_code="rum")
    put(world, "storage", "S-1", "PORT", wine="50", proof="20", class_code="wine", unit="gal")
    world.record(
        "receive-material", "2026-03-01 09:00", material="VANILLA", quantity="5 gal", proof="70",
        vessel="SHELF", supplier="Dune Grain (invented)", lot="VAN-1",
    )  # fmt: skip
    world.record(
        "add-ingredients", "2026-03-20 10:00", vessel="P-1", formula="7",
        materials=[{"lot": "VAN-1", "quantity": "2 gal"}],
        wines=[{"vessel": "S-1", "volume": "10 gal"}],
    )  # fmt: skip
    mark(world, "PORT", "VAN-1")
    (lot,) = mixed_lots(world.premises)
    batch = content(world, lot.code).batch
    assert (batch.spirits, batch.flavors, batch.proof_gallons) == (
        Decimal("80.0"), Decimal("1.4"), Decimal("85.4"),
    )  # fmt: skip
    assert [(w.wine_gallons, w.abv, w.rate) for w in batch.wines] == [
        (Decimal("10.0"), Decimal("20.0"), Decimal("1.57"))
    ]
