"""What a sum of volumes alone would say, and how far off it leaves the strength."""

from decimal import Decimal

from distillery.bench.figures import gal, proof
from ledger import gauging


def naive_volume(volume_gal: Decimal, *, first: Decimal, second: Decimal, to: Decimal) -> Decimal:
    """Gallons of *second* proof that the sum of volumes asks for; proofs differ from *to*."""
    return volume_gal * (first - to) / (to - second)


def naive_steps(
    volume_gal: Decimal, *, first: Decimal, second: Decimal, to: Decimal
) -> tuple[str, str]:
    """Two steps: the naive sum, and the strength of what it mixes (mass and alcohol kept)."""
    naive = naive_volume(volume_gal, first=first, second=second, to=to)
    _, strength = gauging.blend(((volume_gal, first), (naive, second)))
    off = gauging.half_up(strength, "0.01") - to
    way = "too strong" if off > 0 else "too weak"
    left = f"That leaves {proof(strength, '0.01')}"
    return (
        f"Volumes alone would say {gal(naive)}.",
        f"{left}, {abs(off):f} {way}." if off else f"{left}, as wanted.",
    )
