"""The invented plant's instruments, all tested not long before the demo's day."""

from datetime import date, timedelta

from distillery.models import Instrument, InstrumentCorrection
from ledger.models import Premises

# Spindles, their ranges and their subdivision of 0.2 proof: 27 CFR 30.22.
# code, kind, reads from, to, graduation, tested days ago, {reading: add}
INSTRUMENTS = [
    ("H-0", "hydrometer", "0", "20", "0.2", 40, {}),
    ("H-75", "hydrometer", "75", "95", "0.2", 40, {"75": "0.02", "95": "-0.04"}),
    ("H-90", "hydrometer", "90", "110", "0.2", 40, {"90": "0", "110": "-0.05"}),
    ("H-105", "hydrometer", "105", "125", "0.2", 40, {"105": "-0.03", "125": "0.05"}),
    ("H-125", "hydrometer", "125", "145", "0.2", 40, {"125": "0.05", "145": "0.05"}),
    ("H-185", "hydrometer", "185", "206", "0.2", 40, {"185": "-0.05", "206": "-0.02"}),
    ("T-1", "thermometer", "40", "100", "0.25", 40, {"50": "0", "70": "0.05", "90": "0.1"}),
    ("SC-1", "scale", "0", "1000", "0.5", 75, {}),
    ("SC-2", "scale", "0", "100", "0.01", 160, {}),
]


def stock_instruments(premises: Premises, day: date) -> None:
    """Hang the instruments up, as they are on *day*; the small scale is due soon."""
    for code, kind, low, high, graduation, ago, corrections in INSTRUMENTS:
        instrument = Instrument.objects.create(
            premises=premises, code=code, kind=kind, low=low, high=high, graduation=graduation,
            last_tested=day - timedelta(days=ago), certificate=f"XX-{code}",
        )  # fmt: skip
        InstrumentCorrection.objects.bulk_create(
            InstrumentCorrection(instrument=instrument, at=at, add=add)
            for at, add in corrections.items()
        )
