"""What stands on the label of a vessel, a barrel and a case, beside its QR code."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from distillery.bottling_account import account_of
from distillery.case_marks import case_marks
from distillery.case_serials import printed
from distillery.models import BottlingRun, CaseSerials
from distillery.papers.label_sheet import Label
from ledger.models import Vessel

MOST = 500
Worded = tuple[str, tuple[str, ...], str]


def of_vessel(vessel: Vessel) -> Worded:
    """(code, lines, what the QR code names) of a vessel or barrel."""
    sheet, barrel = getattr(vessel, "sheet", None), getattr(vessel, "barrel", None)
    lines = [vessel.get_kind_display().capitalize()]
    if barrel:
        lines.append(f"rated {_plain(barrel.rated_gal)} gal")
        lines += [f"empty {_plain(barrel.tare_lb)} lb"] if barrel.tare_lb is not None else []
    elif sheet and sheet.capacity_gal:
        lines.append(f"holds {_plain(sheet.capacity_gal)} gal")
    lines += [sheet.room] if sheet and sheet.room else []
    lines.append(vessel.premises.registry)
    return vessel.code, tuple(lines), vessel.code


def _plain(number: Decimal) -> str:
    """Without zeros at the end: 15, not 15.00."""
    return f"{number.normalize():f}"


def of_cases(run: BottlingRun) -> Iterator[Worded]:
    """The cases of a bottling with the marks of 27 CFR 19.489(a), remnants last of each day."""
    days = [one for one in account_of(run).days if not one.is_back and not one.entry.reverses_id]
    rows = {row.entry_id: row for row in CaseSerials.objects.filter(
        entry__in=[one.entry.pk for one in days])}  # fmt: skip
    for day in days:
        row = rows.get(day.entry.pk)
        if row is None:
            continue
        filled = day.entry.happened_at.astimezone(run.premises.zone).date()
        for number in range(row.first, row.last + 1) if row.first else ():
            serial = f"{row.series}{printed(number)}"
            yield _case(run, serial, filled, run.product.per_case)
        if row.remnant_bottles:
            serial = f"{row.series}{printed(row.last)}R"
            yield _case(run, serial, filled, row.remnant_bottles)


def _case(run: BottlingRun, serial: str, filled: date, bottles: int) -> Worded:
    product = run.product
    liters = Decimal(product.bottle_ml * bottles) / 1000
    marks = case_marks(
        serial=serial, kind=product.type_code or product.family, registry=run.premises.registry,
        filled=filled, proof=product.label_proof, liters=Decimal(_plain(liters)),
    )  # fmt: skip
    (_, title), *others = marks
    lines = [words for _, words in others]
    lines.append(f"{product.name} · {bottles} × {product.bottle_ml} mL")
    return title, tuple(lines), f"{product.code}:{serial}"


def labelled(worded: Worded, address: str) -> Label:
    """The label that leads to *address*."""
    title, lines, _ = worded
    return Label(title, lines, address)
