"""How much was gauged: which way was filled in, what it lacks, and the volume it found."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from distillery.instruments import as_read, plain
from distillery.models import StrappingTable
from distillery.strapping import StrappingError
from ledger.gauging import GaugingError

OFF_THE_TABLES = "The tables go from 0 to 100 °F. Read it again, or let the spirits cool or warm."
BY_VOLUME = ("volume", "dip", "sight", "meter_end")
BY_CASES = ("cases", "loose_bottles")
WAYS = (*BY_VOLUME, "gross", "net", *BY_CASES)
GIVE_ONE = "Give either a volume, or gross weight and tare, or a net weight."
WEIGH = (
    "Spirits in packages are gauged by weight (27 CFR 19.284(a)). Give gross weight and tare, or "
    "say why it was not weighed."
)

Wrong = Iterator[tuple[str, str]]


class Corrected:
    """Readings as the instruments' certificates correct them; keeps the steps and the faults."""

    def __init__(self, day: date) -> None:
        self.day = day
        self.steps: list[str] = []
        self.faults: list[str] = []

    def value(self, instrument: Any, reading: Decimal) -> Decimal:
        """*reading*, corrected where an *instrument* was named."""
        if instrument is None:
            return reading
        read = as_read(instrument, reading, day=self.day)
        self.steps += read.steps
        self.faults += (fault for fault in read.faults if fault not in self.faults)
        return read.value


class Volume(NamedTuple):
    """Gallons at the temperature of the liquid, and how they were read."""

    gallons: Decimal
    readings: tuple[tuple[str, str], ...] = ()
    steps: tuple[str, ...] = ()


def way_of(data: dict[str, Any]) -> str:
    """The one way filled in, as its field's name; "" for none or several."""
    given = [name for name in WAYS if data.get(name) is not None]
    if given and set(given) <= set(BY_CASES):
        return "cases"
    return given[0] if len(given) == 1 else ""


def wrong_quantity(data: dict[str, Any], way: str, vessel: Any, purpose: str) -> Wrong:
    """(field, sentence) of each thing that *way* lacks or the law does not allow."""
    if way in BY_VOLUME and data["temperature"] is None:
        yield "temperature", "Give the temperature of the liquid, like 60 F."
    if way == "gross" and data["tare"] is None:
        yield "tare", "Give the tare in pounds, like 50.5."
    elif way == "gross" and data["tare"] > data["gross"]:
        yield "tare", "The tare is above the gross weight. Weigh again, or swap the two."
    if is_off_the_tables(data["temperature"]):
        yield "temperature", OFF_THE_TABLES
    if way in ("dip", "sight") and vessel is None:
        yield "tank", "Name the tank whose strapping turns the depth into gallons."
    if way == "meter_end" and data["meter_start"] is None:
        yield "meter_start", "Give what the meter read at the start, like 1,204.5 gal."
    elif way == "meter_end" and data["meter_end"] < data["meter_start"]:
        yield "meter_end", "The meter ends below where it began. Read it again."
    if way == "cases":
        yield from _wrong_cases(data)
    if way in BY_VOLUME and purpose == "package" and not data["why_not_weighed"]:
        yield "why_not_weighed", WEIGH


def is_off_the_tables(temperature_f: Decimal | None) -> bool:
    """Whether no gauging table has a column for this temperature (27 CFR 30.61, 30.67)."""
    return temperature_f is not None and not 0 <= temperature_f <= 100


def _wrong_cases(data: dict[str, Any]) -> Wrong:
    if data["product"] is None:
        yield "product", "Name the product; its label tells size and proof."
    if not data["label"]:
        yield (
            "label",
            (
                "Full bottles are gauged by their labels only where nobody has tampered with them "
                "(27 CFR 19.286). Say so, or gauge the spirits."
            ),
        )


def volume_of(data: dict[str, Any], way: str, vessel: Any, corrected: Corrected) -> Volume:
    """The volume a tank, its depth or a meter showed. Raises GaugingError."""
    if way == "volume":
        return Volume(data["volume"])
    if way == "meter_end":
        return _metered(data, corrected)
    depth, name = data[way], "Dip" if way == "dip" else "Sight glass"
    try:
        table = StrappingTable.on(vessel, corrected.day)
        gallons = table.volume_gal(depth)
    except StrappingError as error:
        raise GaugingError(str(error)) from error
    step = f"{name}: {plain(depth)} in in {vessel.code} is {gallons} gallons ({table})"
    return Volume(gallons, ((name, f"{plain(depth)} in"),), (step,))


def _metered(data: dict[str, Any], corrected: Corrected) -> Volume:
    start, end = data["meter_start"], data["meter_end"]
    passed = end - start
    readings = (("Meter at the start", f"{start:f} gal"), ("Meter at the end", f"{end:f} gal"))
    step = f"Meter: {end:f} - {start:f} = {passed:f} gallons"
    return Volume(corrected.value(data["meter"], passed), readings, (step,))


def bottles_of(data: dict[str, Any]) -> int:
    """Bottles in full cases and beside them. Raises GaugingError."""
    product = data["product"]
    cases = int(data["cases"] or 0)
    if cases and not product.per_case:
        raise GaugingError(f"{product.code} tells no bottles to a case. Count the bottles.")
    return cases * (product.per_case or 0) + int(data["loose_bottles"] or 0)
