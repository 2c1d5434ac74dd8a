"""The papers of an entry: what they say, field by field, and that the same entry sets alike."""

import pytest
from django.test import Client

from distillery.models import Barrel, KeptSlip
from distillery.papers.gauge_record import gauge_records
from distillery.papers.gauge_slip import gauge_slip
from distillery.papers.paper import NOT_ASKED, texts
from distillery.papers.pdf import render
from tests.distillery.stock import put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = "2026-01-30 14:00"
MAKER = "Other Spit Spirits (invented), DSP-XX-00009"


def cellar(**facts):
    """A tank of bourbon at 118 proof, three months and 29 days old, and two barrels."""
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2", rated=10)
    told = {
        "class_code": "whisky", "type_code": "bourbon", "name": "Bourbon whisky",
        "distilled_at": 1400, "producer": MAKER, "aged_new": "P3M29D",
    }  # fmt: skip
    put(world, "storage", "S-1", "S", wine="127.12", proof="150", **told | facts)
    return world


def filled(world, **more):
    barrels = [{"barrel": "B-1", "gross": "130 lb"}, {"barrel": "B-2", "volume": "9.50 gal"}]
    fields = {"proof": "118", **more}
    return world.record("fill-barrels", DAY, vessel="S-1", barrels=barrels, **fields).entry


def drawn(world, vessel, gauge, **more):
    told = {"temperature": "60 F", "proof": "118", **gauge}
    return world.record("draw-redistil", DAY, vessel=vessel, gauge=told, **more).entry


def facts(paper, part=0):
    return dict(paper.parts[part].pairs)


def test_a_slip_tells_every_reading_step_and_result():
    before = {"volume": "127.30 gal", "temperature": "68 F", "proof": "118"}
    entry = filled(cellar(), before=before, confirm=["found-more"])
    slips = KeptSlip.of_entry(entry)
    told = list(texts(gauge_slip(entry, slips)))
    for slip in slips:
        assert set(slip.steps) <= set(told)
        assert {text for pair in (*slip.readings, *slip.result) for text in pair} <= set(told)
    # 27 CFR 30.62: volume is brought to 60 F by Table 7
    assert any("Table 7" in text for text in told)
    assert {entry.seal, entry.document, "DSP-XX-00000", f"No. {entry.number}"} <= set(told)


def test_the_fields_of_a_gauge_record():
    # 27 CFR 19.618: serial, reason, date, related record, kind, proof, containers, age, maker
    entry = filled(cellar())
    record = facts(gauge_records(entry)[0])
    assert record == {
        "Serial number": f"GR-{entry.number}",
        "Reason for the gauge": "Packages filled from a storage tank",
        "Date": "2026-01-30",
        "Related record": "test, lot S",
        "Its serial number": "entry No. 1",
        "Its date": "2026-01-05",
        "Taken from": "S-1",
        "Kind, or formula number": "Bourbon whisky",
        "Proof of distillation": "140.0",
        "Type of containers": "barrel",
        "Number of containers": "2",
        "Age": "3 months 29 days in charred new oak",
        "Producer": "Other Spit Spirits (invented)",
        "Plant number of the producer": "DSP-XX-00009",
    }


def test_each_container_of_a_gauge_record():
    # 27 CFR 19.618: identification, gauge details, proof, wine gallons, cooperage, entry proof,
    # proof gallons; 9.50 gal at 118 are 11.21, to a tenth 11.2 (19.289(d))
    table = gauge_records(filled(cellar()))[0].parts[1]
    weighed, metered, total = table.rows
    assert weighed[:3] == ("26A30 · B-1", NOT_ASKED, "130.00 lb gross, 50.00 lb tare, 80.00 lb net")
    assert metered == (
        "26A30 · B-2", NOT_ASKED, "By volume, 9.50 gal", "118.0", "9.50", "C", "118.0", "11.20",
    )  # fmt: skip
    assert total[0] == "Total"


def test_a_loss_in_filling_is_no_container():
    # 27 CFR 19.324: the tank gauged after filling shows it, on the same record
    entry = filled(cellar(), after={"volume": "100 gal", "temperature": "60 F", "proof": "118"})
    assert entry.movements.filter(to_account="loss", purpose="fill").exists()
    assert len(gauge_records(entry)[0].parts[1].rows) == 3


def test_the_package_record_of_a_fill():
    # 27 CFR 19.619: nothing is regauged at the first fill
    package = gauge_records(filled(cellar()))[1]
    weighed, metered, _ = package.parts[1].rows
    assert weighed[3:6] == ("130.00 lb", NOT_ASKED, "80.00 lb")
    assert metered[3:] == ("", NOT_ASKED, "", "118.0", NOT_ASKED, "11.20", NOT_ASKED)
    assert facts(package)["Proof of distillation"] == "140.0"


def test_a_tare_that_no_longer_gives_the_gauge_is_left_blank():
    entry = filled(cellar())
    Barrel.objects.update(tare_lb=60)
    assert gauge_records(entry)[1].parts[1].rows[0][3:6] == ("130.00 lb", NOT_ASKED, "")


def test_what_is_not_on_record_is_blank():
    entry = filled(cellar(producer="", distilled_at=None, aged_new=""))
    record = facts(gauge_records(entry)[0])
    blank = {name for name, value in record.items() if value == ""}
    assert blank == {
        "Producer", "Plant number of the producer", "Proof of distillation", "Age",
    }  # fmt: skip


def test_a_tank_drawn_for_redistillation_has_no_package_record():
    # 27 CFR 19.618: proof of distillation is not asked for spirits to be redistilled
    papers = gauge_records(drawn(cellar(), "S-1", {"volume": "50 gal"}, to="NS"))
    assert len(papers) == 1
    assert facts(papers[0])["Proof of distillation"] == NOT_ASKED
    assert papers[0].parts[1].rows[0][1] == "NS"


def test_a_barrel_drawn_for_redistillation_tells_both_gauges():
    # 27 CFR 19.619: gross, present tare, net, regauge and original proof gallons
    world = cellar()
    filled(world)
    gauge = {"gross": "125 lb", "tare": "50 lb"}
    papers = gauge_records(drawn(world, "B-1", gauge, empties=True))
    row = papers[1].parts[1].rows[0]
    assert row[3:5] == ("125 lb", "50 lb")
    assert row[7] != row[8]
    assert NOT_ASKED not in row[7:9]


def test_the_same_entry_gives_the_same_bytes():
    entry = filled(cellar())
    for make in (
        lambda: [gauge_slip(entry, KeptSlip.of_entry(entry))],
        lambda: gauge_records(entry),
    ):
        first = render(make())
        assert first.startswith(b"%PDF")
        assert render(make()) == first


def test_the_entry_page_shows_its_slips_and_links_its_papers():
    world = cellar()
    entry = filled(world)
    client = Client()
    client.force_login(world.reader)
    page = client.get(f"/book/{entry.number}/").content.decode()
    for step in KeptSlip.of_entry(entry)[0].steps:
        assert f"<li>{step}</li>" in page
    for name in ("slip.pdf", "gauge-record.pdf"):
        assert f'href="/book/{entry.number}/{name}"' in page
        answer = client.get(f"/book/{entry.number}/{name}")
        assert answer["Content-Type"] == "application/pdf"
        assert answer.content.startswith(b"%PDF")


@pytest.mark.parametrize("name", ["slip.pdf", "gauge-record.pdf"])
def test_an_entry_without_a_gauge_has_no_papers(name):
    world = cellar()
    client = Client()
    client.force_login(world.reader)
    assert client.get(f"/book/1/{name}").status_code == 404
    assert name not in client.get("/book/1/").content.decode()
