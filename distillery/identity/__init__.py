"""Standards of identity, age statements and formulas of 27 CFR part 5: pure rules, no database.

A rule is asked about, never imposed: spirits outside a standard exist, they only bear another
name. Section numbers are of part 5 as T.D. TTB-176 ordered it (87 FR 7526, 11 March 2022).
"""

from distillery.identity.age_statements import (
    OPTIONAL,
    PROHIBITED,
    REQUIRED,
    age_words,
    is_allowed,
    statement_for,
)
from distillery.identity.formulas import formula_section
from distillery.identity.in_bond import distilling_season, in_bond_findings
from distillery.identity.made import Made
from distillery.identity.standards import STANDARDS, findings, standard_for

__all__ = [
    "OPTIONAL",
    "PROHIBITED",
    "REQUIRED",
    "STANDARDS",
    "Made",
    "age_words",
    "distilling_season",
    "findings",
    "formula_section",
    "in_bond_findings",
    "is_allowed",
    "standard_for",
    "statement_for",
]
