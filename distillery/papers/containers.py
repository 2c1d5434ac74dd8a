"""What a gauge record tells of each container: read from movements, sheets, form and slips."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from json import loads

from distillery.barrel_life import code_on
from distillery.models import Barrel
from distillery.papers.paper import BLANK
from ledger import gauging, units
from ledger.models import Entry, Movement
from ledger.plan import Slip
from ledger.quantities import to_decimal

GAUGED = ("deposit", "fill", "redistil")
PUT_IN = ("deposit", "fill", "receive")
NOT_AVERAGED = "package-to-package"  # ungauged, it goes over by the book
WEIGHTS = {"Gross weight": "gross", "Tare": "tare", "Net weight": "net"}


@dataclass(frozen=True, slots=True)
class Container:
    """One container of the gauge: its movement, its wood, its weights as text."""

    movement: Movement
    wood: str = BLANK
    gross: str = BLANK
    tare: str = BLANK
    net: str = BLANK
    details: str = BLANK

    @property
    def package(self) -> str:
        """Lot and package, for a barrel; BLANK for a tank."""
        row = self.movement
        return f"{row.to_lot.code} · {row.to_vessel.code}" if self.is_package else BLANK

    @property
    def tank(self) -> str:
        """The tank's code; BLANK for a barrel."""
        return BLANK if self.is_package else self.movement.to_vessel.code

    @property
    def is_package(self) -> bool:
        """Whether it is a barrel."""
        return self.movement.to_vessel_kind == "barrel"


def movements_of(entry: Entry) -> list[Movement]:
    """The movements that the gauge of *entry* is of, in their order, in one query.

    What was lost or found on the way has no vessel on one side.
    """
    rows = entry.movements.filter(
        purpose__in=GAUGED, from_vessel__isnull=False, to_vessel__isnull=False
    ).order_by("leg")
    return list(
        rows.select_related(
            "to_lot__designation", "from_lot__designation", "from_lot__opened_by",
            "to_vessel", "from_vessel",
        )
    )  # fmt: skip


def containers(
    entry: Entry, movements: Sequence[Movement], slips: Sequence[Slip]
) -> tuple[Container, ...]:
    """The containers filled, with what is on record of each."""
    form = loads(entry.form)
    rows = form.get("barrels") or form.get("packages") or []
    named_rows = [(row.get("barrel") or row.get("vessel"), row) for row in rows]
    told = {_key(code): row for code, row in named_rows if code}
    # What was filled alike has no row of its own: it holds the average.
    other: dict[str, str] | None = {} if form.get("alike") else None
    named = {row.to_vessel_id for row in movements}
    sheets: dict[int | None, Barrel] = {
        one.vessel_id: one
        for one in Barrel.objects.filter(vessel__in=named).select_related("vessel")
    }
    return tuple(
        _barrel(row, told.get(_key(row.to_vessel.code), other), sheets.get(row.to_vessel_id))
        if row.to_vessel_kind == "barrel" and entry.operation != "draw-redistil"
        else _bulk(row, slips, sheets.get(row.to_vessel_id))
        for row in movements
    )


def _bulk(row: Movement, slips: Sequence[Slip], sheet: Barrel | None) -> Container:
    """A tank, or a barrel gauged where it lies: what the gauge of the entry read."""
    readings = slips[0].readings if slips else ()
    weights = {WEIGHTS[name]: value for name, value in readings if name in WEIGHTS}
    details = "; ".join(f"{name} {value}" for name, value in readings)
    wood = code_on(sheet, row.at) if sheet else BLANK
    return Container(row, wood, **weights, details=details)


def _key(code: str) -> str:
    # A person may have typed the code in another case.
    return code.strip().casefold()


def _barrel(row: Movement, told: dict[str, str] | None, sheet: Barrel | None) -> Container:
    wood = code_on(sheet, row.at) if sheet else BLANK
    if told is None or (row.entry.operation == NOT_AVERAGED and not _is_told(told)):
        return Container(row, wood)
    if told.get("gross"):
        return _weighed(row, told, sheet, wood)
    if told.get("net"):
        net = _pounds(told["net"])
        return Container(row, wood, net=_lb(net), details=f"Net weight {_lb(net)}")
    if told.get("volume"):
        return Container(row, wood, details=f"By volume, {told['volume']}")
    return Container(row, wood, details="Average content of like packages")


def _is_told(told: dict[str, str]) -> bool:
    return any(told.get(name) for name in ("gross", "net", "volume"))


def _weighed(row: Movement, told: dict[str, str], sheet: Barrel | None, wood: str) -> Container:
    """Gross, tare and net; a tare off the plant's list only where it still gives the gauge."""
    gross = _pounds(told["gross"])
    tare = _pounds(told["tare"]) if told.get("tare") else _listed_tare(row, gross, sheet)
    if tare is None:
        return Container(row, wood, gross=_lb(gross), details=f"Gross weight {_lb(gross)}")
    net = gross - tare
    details = f"{_lb(gross)} gross, {_lb(tare)} tare, {_lb(net)} net"
    return Container(row, wood, _lb(gross), _lb(tare), _lb(net), details)


def _listed_tare(row: Movement, gross: Decimal, sheet: Barrel | None) -> Decimal | None:
    # The list may have changed since; a tare that no longer gives the gallons is not printed.
    if sheet is None or sheet.tare_lb is None or row.proof is None or sheet.tare_lb > gross:
        return None
    strength = Decimal(row.proof) / 10
    gauge = gauging.gauge_by_package(gross_lb=gross, tare_lb=sheet.tare_lb, proof=strength)
    return sheet.tare_lb if gauge.wine_gallons == to_decimal(row.wine_gallons) else None


def _pounds(text: str) -> Decimal:
    return units.parse(text, "weight")


def _lb(pounds: Decimal) -> str:
    return units.show(pounds, "weight", "lb")


def original_proof_gallons(row: Movement) -> int | None:
    """Hundredths that the package of *row* was first filled with; None where not on record."""
    rows = Movement.objects.filter(
        to_vessel=row.from_vessel, to_lot=row.from_lot, purpose__in=PUT_IN, proof_gallons__gt=0
    )
    first = rows.order_by("at", "pk").first()
    return first.proof_gallons if first else None
