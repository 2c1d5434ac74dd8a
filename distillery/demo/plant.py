"""The invented plant: its vessels, barrels, lists and people."""

from datetime import date
from secrets import token_urlsafe
from typing import Any

from django.contrib.auth import get_user_model
from django.utils import timezone

from distillery.demo.instruments import stock_instruments
from distillery.devices import register
from distillery.models import (
    Barrel,
    DatedSetting,
    Formula,
    Material,
    Membership,
    Plant,
    Product,
    VesselSheet,
)
from ledger.models import Premises, Vessel

REGISTRY = "DSP-XX-00000"
NAME = "Marram Point (invented)"
PEOPLE = (("wren", "owner"), ("linnet", "operator"), ("dunlin", "reader"))
BARRELS = 74
BARRELS_AT_FIRST = 50  # the others come from the cooper in the season
TABLET = "Still house tablet"

# code, kind, title, room, gallons
VESSELS = [
    ("BIN-1", "bin", "Corn bin", "Grain store", None),
    ("BIN-2", "bin", "Rye bin", "Grain store", None),
    ("BIN-3", "bin", "Malt bin", "Grain store", None),
    ("SHELF", "bin", "Dry goods shelf", "Grain store", None),
    ("HOPPER", "bin", "Grist hopper", "Brewhouse", None),
    ("BACK", "tote", "Backset tote", "Brewhouse", 120),
    ("TUN-1", "tun", "Mash tun 1", "Brewhouse", 110),
    ("TUN-2", "tun", "Mash tun 2", "Brewhouse", 110),
    ("FV-1", "fermenter", "Fermenter 1", "Brewhouse", 264),
    ("FV-2", "fermenter", "Fermenter 2", "Brewhouse", 264),
    ("FV-3", "fermenter", "Fermenter 3", "Brewhouse", 264),
    ("POT", "still", "Copper pot still", "Still house", 250),
    ("PLATE", "still", "Plate column still", "Still house", 60),
    ("RCV-1", "receiver", "Spirit receiver", "Still house", 100),
    ("RCV-2", "receiver", "Gin receiver", "Still house", 60),
    ("LOW", "tank", "Low wines tank", "Still house", 300),
    ("FEINTS", "tank", "Feints tank", "Still house", 150),
    ("FORE", "tote", "Foreshots, for disposal only", "Still house", 20),
    ("HEADS", "tote", "Gin heads and tails", "Still house", 100),
    ("ST-1", "tank", "Storage tank", "Bond store", 300),
    ("ST-2", "tank", "Marrying tank", "Bond store", 100),
    ("NS-1", "tote", "Neutral spirits tote 1", "Bond store", 275),
    ("NS-2", "tote", "Neutral spirits tote 2", "Bond store", 275),
    ("DRAW", "tote", "Spirits drawn for redistilling", "Still house", 60),
    ("PT-1", "tank", "Processing tank 1", "Bottling room", 150),
    ("PT-2", "tank", "Processing tank 2", "Bottling room", 150),
    ("PT-3", "tank", "Processing tank 3", "Bottling room", 150),
    ("PT-4", "tank", "Liqueur tank", "Bottling room", 100),
    ("BT-1", "bottling_tank", "Bottling tank 1", "Bottling room", 150),
    ("BT-2", "bottling_tank", "Bottling tank 2", "Bottling room", 150),
    ("GLASS", "bin", "Glass and corks", "Bottling room", None),
    ("CASES", "store", "Case store", "Bottling room", None),
    ("SHOP", "store", "Tasting room, tax paid", "Tasting room", None),
]
# code, name, kind, unit, starch %
MATERIALS = [
    ("CORN", "Yellow corn", "grain", "lb", "62"),
    ("RYE", "Rye", "grain", "lb", "57"),
    ("MALT", "Malted barley", "malt", "lb", "58"),
    ("YEAST", "Dry yeast", "yeast", "g", None),
    ("ENZYME", "Glucoamylase", "enzyme", "g", None),
    ("JUNIPER", "Juniper berries", "botanical", "g", None),
    ("CORIANDER", "Coriander seed", "botanical", "g", None),
    ("SUGAR", "Cane sugar", "other", "lb", None),
    ("FENNEL", "Fennel seed essence", "other", "gal", None),
    ("BOTTLE-750", "750 mL bottle, flint", "bottle", "each", None),
    ("CORK", "T-cork", "closure", "each", None),
]
# code, name, family, type, proof, mL, a case, formula
PRODUCTS = [
    ("BOURBON", "Point bourbon whisky", "whisky", "bourbon", "92", 750, 6, ""),
    ("GIN", "Marram distilled gin", "gin", "distilled gin", "90", 750, 12, "XX-1"),
    ("VODKA", "Ebb vodka", "vodka", "vodka", "80", 750, 12, "XX-2"),
    ("LIQUEUR", "Slack Tide fennel liqueur", "other", "liqueur", "60", 750, 6, "XX-3"),
    ("CASK", "Point whisky, wine cask finish", "whisky", "whisky", "92", 750, 6, "XX-4"),
]


def barrel_code(number: int) -> str:
    """The code of barrel *number*: ``C-07``."""
    return f"C-{number:02d}"


def barrel_tare(number: int) -> str:
    """Empty pounds of barrel *number*, a 15-gallon cask."""
    return f"{49 + number % 5}.5"


def _vessels(premises: Premises) -> None:
    for order, (code, kind, title, room, size) in enumerate(VESSELS):
        vessel = Vessel.objects.create(premises=premises, code=code, kind=kind)
        VesselSheet.objects.create(
            vessel=vessel, title=title, room=room, capacity_gal=size, order=order
        )
    for number in range(1, BARRELS_AT_FIRST + 1):
        vessel = Vessel.objects.create(premises=premises, code=barrel_code(number), kind="barrel")
        VesselSheet.objects.create(
            vessel=vessel, title=f"Barrel {number}", room="Barrel store",
            capacity_gal="15", order=100 + number,
        )  # fmt: skip
        Barrel.objects.create(
            vessel=vessel, rated_gal="15", cooperage="C", tare_lb=barrel_tare(number)
        )


def _lists(premises: Premises) -> None:
    for code, name, kind, unit, starch in MATERIALS:
        Material.objects.create(
            premises=premises, code=code, name=name, kind=kind, unit=unit, starch_pct=starch
        )
    for code, name, family, type_code, proof, bottle, case, formula in PRODUCTS:
        Product.objects.create(
            premises=premises, code=code, name=name, family=family, type_code=type_code,
            label_proof=proof, bottle_ml=bottle, per_case=case,
            formula_no=formula, label_approval=f"XX-{code}", brimful_ml=780, tare_g="492.5",
        )  # fmt: skip
        if formula:
            Formula.objects.create(
                premises=premises, number=formula, name=name, family=family, type_code=type_code,
                approved_on=date(2024, 3, 1),
            )  # fmt: skip
    DatedSetting.objects.create(
        premises=premises, name="check_minutes", value="90", effective=date(2020, 1, 1)
    )


def open_marram_point() -> Premises:
    """The premises with everything but entries; as it is when it is there already."""
    premises, is_new = Premises.objects.get_or_create(
        registry=REGISTRY, defaults={"name": NAME, "time_zone": "America/New_York"}
    )
    if is_new:
        Plant.objects.create(
            premises=premises, proprietor="Marram Point Spirits (invented)",
            address="1 Dune Road, Marram Point (a town that does not exist)", ein="00-0000000",
        )  # fmt: skip
        _vessels(premises)
        _lists(premises)
        stock_instruments(premises, timezone.localdate(timezone=premises.zone))
        register(premises, TABLET, by=PEOPLE[0][0])
    return premises


def open_log_ins(premises: Premises) -> list[tuple[str, str, str]]:
    """(name, password, role) of three people, with passwords made anew each time."""
    found = []
    for name, role in PEOPLE:
        user, _ = get_user_model().objects.get_or_create(
            username=name, defaults={"is_staff": role == "owner"}
        )
        word = token_urlsafe(9)
        user.set_password(word)
        user.save(update_fields=["password"])
        Membership.objects.get_or_create(user=user, premises=premises, defaults={"role": role})
        found.append((name, word, role))
    return found


def owner_of(premises: Premises) -> Any:
    """The demo's owner, in whose name the season is recorded."""
    return Membership.objects.get(premises=premises, role="owner").user
