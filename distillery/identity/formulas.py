"""Which acts need an approved formula: 27 CFR 5.193 (87 FR 7526, T.D. TTB-176)."""

from decimal import Decimal

# By the act; the paragraph where it was read, else the section.
TRIGGERS = {
    "charred_with_reused": "27 CFR 5.193(e)",
    "steeping": "27 CFR 5.193(g)",
    "gin_by_redistillation": "27 CFR 5.193(j)(1)",
    "gin_by_mixing": "27 CFR 5.193(j)",
    "mixing_classes": "27 CFR 5.193",
    "carbonating": "27 CFR 5.193",
}
# Stripping a straight whisky: per cent of acids, esters and solids, and of soluble color.
MOST_REMOVED, MOST_COLOR_REMOVED = Decimal(15), Decimal(25)


def formula_section(act: str) -> str:
    """The paragraph under which *act* needs a formula; "" where it needs none."""
    return TRIGGERS.get(act, "")


def filtering_section(
    *, removed_pct: Decimal = Decimal(0), color_removed_pct: Decimal = Decimal(0)
) -> str:
    """The paragraph under which filtering a straight whisky needs a formula, else ""."""
    if removed_pct > MOST_REMOVED or color_removed_pct > MOST_COLOR_REMOVED:
        return "27 CFR 5.193(c)"
    return ""
