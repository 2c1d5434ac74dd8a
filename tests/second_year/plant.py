"""The set-up of the second year: other vessels, goods and people than the demo's.

The plant is invented: Marram Point, DSP-XX-00000, in a town that does not exist; so are its
people, suppliers and customers.
"""

from datetime import date

from django.contrib.auth import get_user_model

from distillery.models import (
    Barrel,
    Formula,
    Instrument,
    Material,
    Membership,
    Plant,
    Product,
    VesselSheet,
)
from ledger.models import Premises, Vessel

OWNER = "heron"
PEOPLE = ((OWNER, "owner"), ("teal", "operator"), ("plover", "reader"))

# codes, kind, gallons
VESSELS = [
    ("SILO-A SILO-B SILO-C HOPPER RACK CAGE", "bin", None),
    ("MT-1", "tun", 600),
    ("FM-1 FM-2 FM-3", "fermenter", 1000),
    ("POT-A COL-B", "still", 1200),
    ("R-1 R-2 R-3", "receiver", 120),
    ("LW-1 FT-1 DR-1 DR-2 BK-1", "tank", 500),
    ("FS-1", "tote", 50),
    (
        "T-1 T-2 T-3 T-4 T-5 T-6 T-7 T-8 T-9 T-10 T-11 T-12 T-13 T-14 T-15 T-16 T-17 T-18",
        "tank",
        500,
    ),
    ("B-1 B-2 B-3 B-4 B-5 B-6 B-7 B-8 B-9 B-10 B-11 B-12", "tank", 500),
    ("N-1 N-2 N-3 N-4 N-5 N-6 N-7 N-8 N-9 N-10 N-11 N-12", "tote", 275),
    ("BT-A BT-B", "bottling_tank", 300),
    ("BOND ANNEX SHOP", "store", None),
]
# Barrels the plant had when the year began; more come by record.
BARRELS = ("W-001..W-012", "new"), ("U-001..U-008", "used")
# code, name, kind, unit, starch %
MATERIALS = [
    ("CORN", "White corn", "grain", "lb", "62"),
    ("RYE", "Winter rye", "grain", "lb", "57"),
    ("MALT", "Two-row malt", "malt", "lb", "58"),
    ("YEAST", "Distiller's yeast", "yeast", "g", None),
    ("ENZYME", "Alpha-amylase", "enzyme", "g", None),
    ("JUNIPER", "Juniper", "botanical", "g", None),
    ("ORRIS", "Orris root", "botanical", "g", None),
    ("BACKSET", "Backset", "other", "gal", None),
    ("SUGAR", "Cane sugar", "other", "lb", None),
    ("MOLASSES", "Blackstrap molasses", "molasses", "lb", None),
    ("ORANGE", "Orange essence", "other", "gal", None),
    ("OAK", "Toasted oak chips", "other", "lb", None),
    ("CARAMEL", "Caramel", "other", "gal", None),
    ("BOTTLE", "Bottle, 750 mL", "bottle", "each", None),
    ("STOPPER", "Stopper", "closure", "each", None),
    ("LABEL", "Label", "label", "each", None),
]
# code, name, family, type, proof, mL, a case, formula
PRODUCTS = [
    ("DUNE-BOURBON", "Dune bourbon whisky", "whisky", "bourbon", "90", 750, 6, ""),
    ("SALT-GIN", "Salt gin", "gin", "distilled gin", "84", 750, 6, "XX-11"),
    ("GULL-VODKA", "Gull vodka", "vodka", "vodka", "80", 750, 12, "XX-12"),
    ("KELP-RUM", "Kelp rum", "rum", "rum", "80", 750, 6, ""),
    ("BUOY-ORANGE", "Buoy orange liqueur", "other", "liqueur", "60", 750, 6, "XX-13"),
]
# number, name, family, type
FORMULAS = [
    ("XX-11", "Salt gin", "gin", "distilled gin"),
    ("XX-12", "Gull vodka", "vodka", "vodka"),
    ("XX-13", "Buoy orange liqueur", "other", "liqueur"),
]
# code, kind, reads from, to, graduation
INSTRUMENTS = [
    ("HY-120", "hydrometer", "105", "125", "0.2"),
    ("TH-1", "thermometer", "40", "100", "0.25"),
    ("SC-9", "scale", "0", "1000", "0.5"),
    ("MF-1", "meter", "0", "100000", "0.01"),
]


def open_plant() -> Premises:
    """The premises with its lists and people, and no entry yet."""
    premises = Premises.objects.create(
        registry="DSP-XX-00000", name="Marram Point (invented)", time_zone="America/New_York"
    )
    Plant.objects.create(
        premises=premises, proprietor="Marram Point Spirits (invented)",
        address="1 Dune Road, Marram Point (a town that does not exist)", ein="00-0000000",
    )  # fmt: skip
    _vessels(premises)
    _lists(premises)
    _instruments(premises)
    for name, role in PEOPLE:
        user = get_user_model().objects.create_user(name)
        Membership.objects.create(user=user, premises=premises, role=role)
    return premises


def _vessels(premises: Premises) -> None:
    for codes, kind, size in VESSELS:
        for code in codes.split():
            vessel = Vessel.objects.create(premises=premises, code=code, kind=kind)
            VesselSheet.objects.create(vessel=vessel, capacity_gal=size)
    for codes, wood in BARRELS:
        first, last = codes.split("..")
        for number in range(int(first[-3:]), int(last[-3:]) + 1):
            code = f"{first[:2]}{number:03d}"
            vessel = Vessel.objects.create(premises=premises, code=code, kind="barrel")
            VesselSheet.objects.create(vessel=vessel, capacity_gal=55)
            Barrel.objects.create(
                vessel=vessel, rated_gal=53, tare_lb="110",
                cooperage="C" if wood == "new" else "R", was_filled_before=wood == "used",
            )  # fmt: skip


def _lists(premises: Premises) -> None:
    for code, name, kind, unit, starch in MATERIALS:
        Material.objects.create(
            premises=premises, code=code, name=name, kind=kind, unit=unit, starch_pct=starch
        )
    for code, name, family, type_code, proof, bottle, case, formula in PRODUCTS:
        Product.objects.create(
            premises=premises, code=code, name=name, family=family, type_code=type_code,
            label_proof=proof, bottle_ml=bottle, per_case=case, formula_no=formula,
            label_approval=f"XX-{code}", brimful_ml=785, tare_g="480",
        )  # fmt: skip
    for number, name, family, type_code in FORMULAS:
        Formula.objects.create(
            premises=premises, number=number, name=name, family=family, type_code=type_code,
            approved_on=date(2024, 3, 1),
        )  # fmt: skip


def _instruments(premises: Premises) -> None:
    for code, kind, low, high, graduation in INSTRUMENTS:
        Instrument.objects.create(
            premises=premises, code=code, kind=kind, low=low, high=high, graduation=graduation,
            last_tested=date(2025, 1, 2), test_months=None, certificate=f"XX-{code}",
        )  # fmt: skip
