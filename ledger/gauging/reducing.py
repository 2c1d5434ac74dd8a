"""Water to reduce as the manual works it out: by weight with Table 4, by volume with Table 6."""

from decimal import Decimal

from .figures import GaugingError, Number, amount, half_up, proof_figure
from .table4 import proof_gallons_per_pound
from .table6 import parts_of_water

CENT = "0.01"


def pounds_of_water(*, net_lb: Number, proof: Number, to_proof: Number) -> Decimal:
    """Pounds of water [0.01] that bring a weight of `proof` to `to_proof`, 27 CFR 30.64.

    Pounds after = proof gallons / Table 4's proof gallons a pound at the wanted proof: 1,000 lb
    of 200 proof to 190 take 82.03. Raises GaugingError unless 0 < to_proof <= proof.
    """
    net = amount(net_lb, name="net weight", unit="lb")
    given, wanted = _both(proof, to_proof)
    after = net * proof_gallons_per_pound(given) / proof_gallons_per_pound(wanted)
    return half_up(after, CENT) - half_up(net, CENT)


def gallons_of_water(*, wine_gallons: Number, proof: Number, to_proof: Number) -> Decimal:
    """Gallons of water [0.01] that bring `wine_gallons` to `to_proof`, 27 CFR 30.66.

    Per 100 gallons: alcohol given / alcohol wanted x water wanted - water given, from Table 6
    and not rounded on the way. 112 to 100 proof takes 12.43, which the law cuts to 12.42; 191 to
    188 takes 1.89, where the law cuts the quotient to 1.01 and so gets 1.84. Raises
    GaugingError unless 0 < to_proof <= proof.
    """
    volume_gal = amount(wine_gallons, name="volume", unit="gallons")
    given, wanted = _both(proof, to_proof)
    water = given / wanted * parts_of_water(wanted) - parts_of_water(given)
    return half_up(water * volume_gal / 100, CENT)


def _both(proof: Number, to_proof: Number) -> tuple[Decimal, Decimal]:
    """The proofs, to 0.1, that water can lead from and to."""
    given = half_up(proof_figure(proof), "0.1")
    wanted = half_up(proof_figure(to_proof, name="wanted proof"), "0.1")
    if not 0 < wanted <= given:
        raise GaugingError(
            f"Water brings {given} proof down to a proof above 0 and not above {given}; "
            f"{wanted} was asked for."
        )
    return given, wanted
