"""The weights a filled bottle passes between, by size, label and empty bottle."""

from decimal import Decimal

import pytest

from tests.distillery.bench.working import figure, refused, worked

TYPED = {"size": "750 mL", "proof": "40 %", "tare": "480 g"}


def test_a_750_at_40_percent_passes_from_698_to_727_grams():
    # 27 CFR 19.356(b): 735 to 765 mL; at 60 °F 950.87 kg/m3 (OIML R 22), 0.9498 g/mL in air.
    target, low, high = (
        figure("bottle-weight", f"{n}, net", **TYPED) for n in ("target", "low", "high")
    )
    assert abs(target - Decimal("712.4")) <= Decimal("0.1")
    assert abs(low - Decimal("698.1")) <= Decimal("0.1")
    assert abs(high - Decimal("726.6")) <= Decimal("0.1")
    assert figure("bottle-weight", "target, full", **TYPED) == target + 480


def test_a_warm_room_changes_the_mark_and_not_the_weight():
    # Table 7 (27 CFR 30.67): factor 0.997 at 80 proof and 68 F; 750 / 0.997 = 752.3.
    warm = {**TYPED, "temperature": "68 F"}
    assert "target 752.3 mL" in " ".join(worked("bottle-weight", **warm).slip.steps)
    assert figure("bottle-weight", "target, net", **warm) == figure(
        "bottle-weight", "target, net", **TYPED
    )


@pytest.mark.parametrize(("size", "pct"), [("1 L", "1.5"), ("375 mL", "3.0"), ("100 mL", "4.5")])
def test_the_band_goes_by_the_size(size, pct):
    steps = " ".join(worked("bottle-weight", size=size, proof="80").slip.steps)
    assert f"may differ {pct} % either way" in steps


def test_a_proof_of_nothing_is_refused():
    assert "0.1 or more" in refused("bottle-weight", size="750 mL", proof="0")["proof"][0]
