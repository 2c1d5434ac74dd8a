"""The tax of the year by document, worked out by hand from the cells.

The month it counts in, its number or kind, and proof gallons to a tenth: at the reduced rate of
2.70 dollars (26 U.S.C. 5001(c)(1), the first 100,000 of a year), and at the general rate of 13.50
for rum that another bottled.
"""

from decimal import Decimal

FULL_RATE = Decimal("13.50")


def _owed(
    month: int, told: str, reduced: str, full: str = "0"
) -> tuple[int, str, Decimal, Decimal]:
    return month, told, Decimal(reduced), Decimal(full)


DOCUMENTS = [
    _owed(1, "INV-101", "9.5"),  # 9.51
    _owed(1, "INV-102", "6.0"),
    _owed(2, "INV-103", "21.4"),  # 106.99 * 120 / 600 = 21.40
    _owed(2, "INV-104", "2.1"),  # 85.59 * 12 / 480 = 2.14
    _owed(3, "INV-105", "49.0"),  # 29.96 of gin and 19.02 of vodka
    _owed(3, "INV-107", "4.0"),  # 3.99; INV-106 was cancelled before its goods went
    _owed(4, "INV-108", "86.8"),  # 76.08 of vodka and 10.70 of bourbon
    _owed(5, "INV-109", "7.0"),
    _owed(5, "INV-110", "17.8"),  # 7.13 of liqueur and 10.70 of bourbon
    _owed(6, "taxed loss", "4.8"),  # the theft from T-1 (27 CFR 19.461)
    _owed(6, "INV-111", "19.5"),  # 9.98 of gin and 9.51 of vodka
    _owed(6, "bottled shortage", "0.4"),  # 0.18 and 0.17 (27 CFR 19.465)
    _owed(7, "INV-112", "25.0"),  # a keg of 6.00 and 19.02 of vodka
    _owed(8, "taxed loss", "60.0"),  # W-006, missing and not excused (19.461, 19.462(c))
    _owed(8, "INV-113", "4.3", "1.9"),  # 4.28 of liqueur, 1.90 of rum
    _owed(9, "INV-114", "4.5"),
    _owed(9, "INV-115", "15.7"),  # 10.70 of bourbon and 4.99 of gin
    _owed(9, "INV-116", "0", "1.0"),  # 0.95 of rum, recorded in October
    _owed(10, "INV-117", "7.6"),  # four cases, 7.61
    _owed(10, "INV-118", "10.0"),  # 9.98
    _owed(11, "INV-119", "21.2"),  # 15.22 of vodka and 5.99 of gin
    _owed(11, "INV-121", "1.4"),  # a gallon of brandy for the tasting room
    _owed(11, "INV-122", "1.2"),  # and one of rum
    _owed(12, "INV-123", "1.5"),  # and one of agave spirits
    _owed(12, "INV-120", "12.6"),  # 8.56 of bourbon and 3.99 of gin
]
