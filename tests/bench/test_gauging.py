"""What gauging costs, against the bare evaluation of the density polynomial in the same run."""

from decimal import Decimal

import pytest

from ledger.gauging import gauge_by_package, gauge_by_volume, true_proof
from ledger.gauging.oiml_r22 import rho
from tests.bench.timing import milliseconds, tell

pytestmark = [pytest.mark.bench, pytest.mark.django_db]
ROUNDS = 2000


def per_call(job, rounds=ROUNDS):
    """Milliseconds of one of many calls, readings changing as they do on the floor."""
    return milliseconds(lambda: [job(number) for number in range(rounds)], rounds=3) / rounds


def test_one_reading_one_gauge_and_a_thousand_barrels():
    bare = per_call(lambda n: rho(0.3 + n / 10000, 15 + n / 500))
    reading = per_call(
        lambda n: true_proof(Decimal(1100 + n % 150) / 10, Decimal(600 + n % 90) / 10)
    )
    full = per_call(
        lambda n: gauge_by_volume(
            volume_gal=Decimal(20000 + n) / 100,
            temperature_f=Decimal(600 + n % 90) / 10,
            reading=Decimal(1100 + n % 150) / 10,
            reading_temperature_f=Decimal(600 + n % 90) / 10,
        )
    )
    barrels = milliseconds(
        lambda: [
            gauge_by_package(gross_lb=Decimal(1600 + n % 40) / 10, tare_lb="50.5", proof="118.0")
            for n in range(1000)
        ]
    )
    tell(f"bare polynomial {bare * 1000:.1f} µs")
    tell(f"true proof {reading * 1000:.0f} µs, {reading / bare:.0f}x")
    tell(f"full gauge {full * 1000:.0f} µs, {full / bare:.0f}x")
    tell(f"1,000 barrel gauges {barrels:.0f} ms, {barrels / 1000 / bare:.0f}x each")
