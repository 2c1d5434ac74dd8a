"""Gauging distilled spirits: numbers in, a result out that also says how it was found.

Pure: no Django, no database, no clock. Every function takes an int, float, Decimal or numeric
text in the unit its name or docstring gives, returns Decimals and raises GaugingError with
one plain sentence for what cannot be. The law is 27 CFR part 30 (Gauging Manual); the densities
are those of OIML R 22. Tables 1, 4, 5, 6 and 7 are grids: the cells that the regulations print in
their own examples, further printed ones that a caller hands in with `using`, and computed ones
rounded to the printed digits for the rest; each gauge's steps say which.
"""

from .batches import batch_proof_gallons
from .by_count import gauge_by_average, gauge_by_cases
from .by_gravity import gauge_by_heavy_weight, gauge_by_table6, gravity_at_60f
from .by_table3 import table3_parts, table3_proof_gallons, table3_wine_gallons
from .by_volume import gauge_by_volume
from .by_weight import gauge_by_package, gauge_by_weight
from .containers import FillWeight, fill_weight, gallons_at_prevailing, true_capacity
from .figures import GaugingError, half_up
from .gauge import Gauge
from .mixing import blend, proof_gallons, water_to_reduce
from .oiml_r22 import density
from .printed_cells import Printed
from .reducing import gallons_of_water, pounds_of_water
from .scales import largest_graduation, package_weight, smallest_weighing
from .solids import SolidsRule, obscuration, solids_rule
from .strength import proof_of, specific_gravity
from .table1 import true_proof
from .table4 import (
    pounds_per_proof_gallon,
    pounds_per_wine_gallon,
    proof_gallons_per_pound,
    wine_gallons_per_pound,
)
from .table6 import gravity_in_air, parts_of_water
from .table7 import volume_factor
from .tables import Cell, Grid, grid_of, using
from .watchdog import GRIDS, Distance, distance

__all__ = [
    "GRIDS",
    "Cell",
    "Distance",
    "FillWeight",
    "Gauge",
    "GaugingError",
    "Grid",
    "Printed",
    "SolidsRule",
    "batch_proof_gallons",
    "blend",
    "density",
    "distance",
    "fill_weight",
    "gallons_at_prevailing",
    "gallons_of_water",
    "gauge_by_average",
    "gauge_by_cases",
    "gauge_by_heavy_weight",
    "gauge_by_package",
    "gauge_by_table6",
    "gauge_by_volume",
    "gauge_by_weight",
    "gravity_at_60f",
    "gravity_in_air",
    "grid_of",
    "half_up",
    "largest_graduation",
    "obscuration",
    "package_weight",
    "parts_of_water",
    "pounds_of_water",
    "pounds_per_proof_gallon",
    "pounds_per_wine_gallon",
    "proof_gallons",
    "proof_gallons_per_pound",
    "proof_of",
    "smallest_weighing",
    "solids_rule",
    "specific_gravity",
    "table3_parts",
    "table3_proof_gallons",
    "table3_wine_gallons",
    "true_capacity",
    "true_proof",
    "using",
    "volume_factor",
    "water_to_reduce",
    "wine_gallons_per_pound",
]
