"""Gauging distilled spirits: numbers in, a result out that also says how it was found.

Pure: no Django, no database, no clock. Every function takes an int, float, Decimal or numeric
text in the unit its name or docstring gives, returns Decimals and raises GaugingError with
one plain sentence for what cannot be. The law is 27 CFR part 30 (Gauging Manual); the densities
are those of OIML R 22. The printed tables of the manual are not in here: cells and factors
are computed and rounded to the printed digits, and each gauge's steps say so.
"""

from .by_count import gauge_by_average, gauge_by_cases
from .by_volume import gauge_by_volume
from .by_weight import gauge_by_package, gauge_by_weight
from .figures import GaugingError, half_up
from .gauge import Gauge
from .mixing import blend, proof_gallons, water_to_reduce
from .oiml_r22 import density
from .solids import SolidsRule, obscuration, solids_rule
from .strength import proof_of, specific_gravity
from .table1 import true_proof
from .table4 import pounds_per_wine_gallon, proof_gallons_per_pound, wine_gallons_per_pound
from .table7 import volume_factor

__all__ = [
    "Gauge",
    "GaugingError",
    "SolidsRule",
    "blend",
    "density",
    "gauge_by_average",
    "gauge_by_cases",
    "gauge_by_package",
    "gauge_by_volume",
    "gauge_by_weight",
    "half_up",
    "obscuration",
    "pounds_per_wine_gallon",
    "proof_gallons",
    "proof_gallons_per_pound",
    "proof_of",
    "solids_rule",
    "specific_gravity",
    "true_proof",
    "volume_factor",
    "water_to_reduce",
    "wine_gallons_per_pound",
]
