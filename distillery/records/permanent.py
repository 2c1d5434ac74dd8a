"""What is kept beside the daily records: formulas and tests of instruments.

27 CFR 19.348, 19.577 (formulas); 19.186, 19.188 (scales, meters, hydrometers, thermometers).
"""

from collections.abc import Iterator

from distillery.models import Formula, Instrument, Product
from distillery.records.base import Cell, Column, Kind, Row
from distillery.records.cells import joined
from distillery.records.span import Span


def formula_rows(span: Span) -> Iterator[Row]:
    """Each formula on file, and numbers that products name without one."""
    products: dict[str, list[str]] = {}
    for product in Product.objects.filter(premises=span.premises).exclude(formula_no=""):
        products.setdefault(product.formula_no, []).append(str(product))
    filed = list(Formula.objects.filter(premises=span.premises))
    for one in filed:
        cells: dict[str, Cell] = {
            "formula_no": one.number,
            "product": joined((one.name, *products.pop(one.number, ()))),
            "class_type": joined((one.family, one.type_code)),
            "approval_date": f"{one.approved_on:%Y-%m-%d}" if one.approved_on else None,
            "form_identity": one.form_identity,
            "ingredients": joined(
                (f"wine: {one.wine_limit}" if one.wine_limit else None,
                 f"flavors: {one.flavor_limit}" if one.flavor_limit else None)
            ),
            "is_active": "yes" if one.is_active else "no",
        }  # fmt: skip
        yield Row(cells)
    for number, names in sorted(products.items()):
        yield Row({"formula_no": number, "product": joined(names)})


def instrument_rows(span: Span) -> Iterator[Row]:
    """Each instrument with its last test and the corrections of its certificate."""
    rows = Instrument.objects.filter(premises=span.premises).prefetch_related("corrections")
    for one in rows:
        yield Row({
            "instrument_id": one.code,
            "kind": one.get_kind_display(),
            "range": f"{one.low.normalize():f} to {one.high.normalize():f} {one.unit}",
            "test_date": f"{one.last_tested:%Y-%m-%d}" if one.last_tested else None,
            "result": joined(str(row) for row in one.corrections.all()) or "no correction",
            "certified_by": one.certificate or None,
            "every": f"{one.months_between_tests} months",
            "is_retired": "out of use" if one.is_retired else None,
        })  # fmt: skip


FORMULAS = Kind(
    slug="formulas",
    title="Formulas",
    section="27 CFR 19.348",
    rows=formula_rows,
    is_summary=True,
    when="Approved before production; kept while active (27 CFR 19.348, 19.577)",
    columns=(
        Column("formula_no", "Formula number", 10),
        Column("product", "Product", 20),
        Column("class_type", "Class and type", 12),
        Column("form_identity", "Form and submission", 14),
        Column("approval_date", "Approved", 9),
        Column("ingredients", "Limits on wine and flavors", 18),
        Column("is_active", "In use", 6),
    ),
    operations=("dump", "blend", "add-ingredients"),
    notes=("As on file today. Ingredients and process stand on the approved form itself.",),
)
INSTRUMENT_TESTS = Kind(
    slug="instrument-tests",
    title="Tests of instruments",
    section="27 CFR 19.186",
    rows=instrument_rows,
    is_summary=True,
    when=(
        "Scales and mass flow meters every 6 months, hydrometers and thermometers frequently "
        "(27 CFR 19.186, 19.188)"
    ),
    columns=(
        Column("instrument_id", "Instrument", 10),
        Column("kind", "Kind", 12),
        Column("range", "Reads", 14),
        Column("test_date", "Last test", 9),
        Column("result", "Corrections", 24),
        Column("certified_by", "Certificate", 12),
        Column("every", "Tested every", 9),
        Column("is_retired", "State", 8),
    ),
    notes=("As on file today.",),
)
