"""One small plant, built by plain functions: its vessels, lists and three people.

The plant is invented: Marram Point, DSP-XX-00000, a coast town that does not exist.
"""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib.auth import get_user_model

from distillery.models import Barrel, Material, Membership, Plant, Product, VesselSheet
from distillery.recording import Done, record
from ledger.models import Premises, Vessel

ZONE = ZoneInfo("America/New_York")
VESSELS = [
    ("BIN-1", "bin", None), ("BIN-2", "bin", None), ("SHELF", "bin", None),
    ("TUN-1", "tun", 100), ("FV-1", "fermenter", 264), ("FV-2", "fermenter", 264),
    ("POT", "still", 150), ("COL", "still", 60),
    ("RCV-1", "receiver", 60), ("RCV-2", "receiver", 60), ("FEINTS", "tank", 150),
    ("S-1", "tank", 300), ("S-2", "tote", 275), ("NS", "tank", 300),
    ("P-1", "tank", 300), ("P-2", "tank", 300), ("BT-1", "bottling_tank", 150),
    ("STORE", "store", None),
]  # fmt: skip
MATERIALS = [
    ("CORN", "Corn", "grain", "lb", "62"), ("RYE", "Rye", "grain", "lb", "57"),
    ("MALT", "Malted barley", "malt", "lb", "58"), ("YEAST", "Dry yeast", "yeast", "g", None),
    ("ENZYME", "Enzyme", "enzyme", "g", None), ("JUNIPER", "Juniper", "botanical", "g", None),
]  # fmt: skip
PRODUCTS = [
    ("BOURBON-750", "Point bourbon", "whisky", "bourbon", "92", 750, 6),
    ("GIN-750", "Point gin", "gin", "distilled gin", "90", 750, 12),
    ("VODKA-750", "Point vodka", "vodka", "", "80", 750, 12),
]  # fmt: skip


def make_vessel(premises: Premises, code: str, kind: str, size: Any = None) -> Vessel:
    """A vessel with its sheet."""
    vessel = Vessel.objects.create(premises=premises, code=code, kind=kind)
    VesselSheet.objects.create(vessel=vessel, capacity_gal=size)
    return vessel


def make_barrels(
    premises: Premises, *codes: str, rated: Any = 15, tare: Any = 50, **more: Any
) -> None:
    """Barrels with their cooperage: new and charred unless told otherwise."""
    for code in codes:
        vessel = make_vessel(premises, code, "barrel", rated)
        Barrel.objects.create(vessel=vessel, rated_gal=rated, tare_lb=tare, **more)


def make_person(premises: Premises | None, name: str, role: str) -> Any:
    """A user with a role at the plant; no plant makes a stranger."""
    user = get_user_model().objects.create_user(name, password=f"{name}-of-marram")
    if premises:
        Membership.objects.create(user=user, premises=premises, role=role)
    return user


@dataclass
class World:
    """The plant and the people, with a short way to record."""

    premises: Premises
    owner: Any
    operator: Any
    reader: Any
    count: int = field(default=0)

    def record(self, operation: str, at: str, *, by: Any = None, **fields: Any) -> Done:
        """Record one act at a plant time like ``2026-01-29 18:30``, under the next key."""
        self.count += 1
        key = fields.pop("key", f"k{self.count}")
        data = {"operation": operation, "at": at, "key": key, **fields}
        return record(data, premises=self.premises, user=by or self.owner)

    def when(self, text: str) -> datetime:
        """A plant time as an aware datetime."""
        return datetime.fromisoformat(text).replace(tzinfo=ZONE)


def make_plant(registry: str = "DSP-XX-00000", name: str = "Marram Point (invented)") -> Premises:
    """The premises with vessels, materials and products, and no entry yet."""
    premises = Premises.objects.create(registry=registry, name=name)
    Plant.objects.create(premises=premises, proprietor="Marram Point Spirits (invented)")
    for code, kind, size in VESSELS:
        make_vessel(premises, code, kind, size)
    for code, title, kind, unit, starch in MATERIALS:
        Material.objects.create(
            premises=premises, code=code, name=title, kind=kind, unit=unit, starch_pct=starch
        )
    for code, title, family, type_code, proof, bottle, case in PRODUCTS:
        Product.objects.create(
            premises=premises, code=code, name=title, family=family, type_code=type_code,
            label_proof=proof, bottle_ml=bottle, per_case=case,
            formula_no="1" if family == "gin" else "", label_approval="00000",
        )  # fmt: skip
    return premises


def make_world() -> World:
    """The plant with an owner, an operator and a reader."""
    premises = make_plant()
    return World(
        premises,
        make_person(premises, "ada", "owner"),
        make_person(premises, "bo", "operator"),
        make_person(premises, "cy", "reader"),
    )
