"""Density of ethanol-water mixtures: OIML R 22, International Alcoholometric Tables.

    rho(p,t) = A1 + sum(k=2..12) A_k p^(k-1) + sum(k=1..6) B_k (t-20)^k
                  + sum(i=1..5) sum(k=1..m_i) C_(i,k) p^k (t-20)^i          [kg/m3]

p is the mass fraction of ethanol (0 to 1), t the temperature (-20 to 40 degrees Celsius).
The same formula and coefficients stand in Council Directive 76/766/EEC, annex.
"""

from decimal import Decimal
from functools import lru_cache

from .figures import Number, between, from_float

COLDEST_C, WARMEST_C = -20, 40

A = (
    9.982012300e2, -1.929769495e2, 3.891238958e2, -1.668103923e3, 1.352215441e4, -8.829278388e4,
    3.062874042e5, -6.138381234e5, 7.470172998e5, -5.478461354e5, 2.234460334e5, -3.903285426e4,
)  # fmt: skip
B = (
    -2.0618513e-1, -5.2682542e-3, 3.6130013e-5, -3.8957702e-7, 7.1693540e-9, -9.9739231e-11,
)  # fmt: skip
C = (
    (
        1.693443461530087e-1, -1.046914743455169e1, 7.196353469546523e1, -7.047478054272792e2,
        3.924090430035045e3, -1.210164659068747e4, 2.248646550400788e4, -2.605562982188164e4,
        1.852373922069467e4, -7.420201433430137e3, 1.285617841998974e3,
    ),
    (
        -1.193013005057010e-2, 2.517399633803461e-1, -2.170575700536993, 1.353034988843029e1,
        -5.029988758547014e1, 1.096355666577570e2, -1.422753946421155e2, 1.080435942856230e2,
        -4.414153236817392e1, 7.442971530188783,
    ),
    (
        -6.802995733503803e-4, 1.876837790289664e-2, -2.002561813734156e-1, 1.022992966719220,
        -2.895696483903638, 4.810060584300675, -4.672147440794683, 2.458043105903461,
        -5.411227621436812e-1,
    ),
    (
        4.075376675622027e-6, -8.763058573471110e-6, 6.515031360099368e-6, -1.515784836987210e-6,
    ),
    (-2.788074354782409e-8, 1.345612883493354e-8),
)  # fmt: skip


def density(mass_fraction: Number, celsius: Number) -> Decimal:
    """Density in vacuum [kg/m3, six decimals] of a mixture at `celsius` [-20 to 40].

    density(0, 20) is 998.2012 and density(1, 20) 789.2391 (OIML R 22, Table I).
    Raises GaugingError outside the formula's range.
    """
    fraction = between(mass_fraction, 0, 1, name="mass fraction of ethanol")
    warmth = between(celsius, COLDEST_C, WARMEST_C, name="temperature", unit="degrees Celsius")
    return from_float(rho(float(fraction), float(warmth)), 6)


def rho(fraction: float, celsius: float) -> float:
    """The bare formula in floats [kg/m3], for the solvers."""
    value = 0.0
    for coefficient in at_temperature(celsius):
        value = value * fraction + coefficient
    return value


@lru_cache(maxsize=512)
def at_temperature(celsius: float) -> tuple[float, ...]:
    """The formula at one temperature: coefficients of the powers of p, highest first."""
    warmth = celsius - 20
    powers = list(A)
    powers[0] += sum(b * warmth ** (k + 1) for k, b in enumerate(B))
    for i, row in enumerate(C):
        for k, c in enumerate(row):
            powers[k + 1] += c * warmth ** (i + 1)
    return tuple(reversed(powers))
