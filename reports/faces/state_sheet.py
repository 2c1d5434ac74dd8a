"""The worksheet of State excise as a sheet, and as kept content."""

from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from reports.faces.sheet import DASH, WORKSHEET, Sheet, Table, amount, foot_of
from reports.models import StateRate
from reports.state_removals import StateRemoval
from reports.state_tax import RateLine, StateSum, StateWorksheet

TITLE = "State excise on spirits · worksheet"
NO_RATE = "no rate is kept here"
NOTES = (
    "Bottles as liters × 0.264172 wine gallons (27 CFR 19.582); the rate is that of the day of "
    "removal; the tax is rounded to the cent on the sum at each rate.",
    "The State is the consignee's as the removal tells it; stock moved into the plant's own "
    "tasting room or shop is the plant's own State's, on the day it was moved.",
    "Who pays, and on which sale, is the State's to say; so is a due day that falls on a weekend. "
    "Check every rate with the State before use.",
    *WORKSHEET,
)


def rounded(value: Decimal, places: str = "0.01") -> str:
    """Gallons or liters to the hundredth, as a worksheet shows them."""
    return amount(value.quantize(Decimal(places), ROUND_HALF_UP))


def sheet_of_states(worksheet: StateWorksheet, *, status: str = "not filed") -> Sheet:
    """The worksheet of every State in it."""
    facts = (
        ("Plant", worksheet.plant), ("Registry", worksheet.registry),
        ("Month", worksheet.period.words), ("Status", status),
    )  # fmt: skip
    tables = [_summary(worksheet), _rates(worksheet)]
    tables += [_documents(row) for row in worksheet.states if row.removals]
    return Sheet(TITLE, facts, tuple(tables), NOTES, foot_of(worksheet.through))


def _summary(worksheet: StateWorksheet) -> Table:
    rows: list[tuple[str, ...]] = []
    strong = set()
    for state in worksheet.states:
        rows += [_line(state, line) for line in state.lines]
        strong.add(len(rows))
        tax = amount(state.tax) if state.tax is not None else "no figure"
        is_part = state.tax is not None and not state.is_rated
        total = "Total, without what has no rate" if is_part else "Total"
        rows.append((state.name, total, rounded(state.wine_gallons), rounded(state.liters), "",
                     tax))  # fmt: skip
    heads = ("State", "Rate", "Wine gallons", "Liters", "Packages", "Tax, $")
    return Table("By State", heads, tuple(rows), 2, strong=frozenset(strong))


def rate_words(line: RateLine) -> str:
    """The rate of a line in words; the least a package where that counted."""
    if line.rate is None:
        return NO_RATE
    if line.is_least:
        return f"at least ${line.rate.minimum:.2f} a package"
    return line.rate.words


def _line(state: StateSum, line: RateLine) -> tuple[str, ...]:
    return (
        state.name, rate_words(line), rounded(line.wine_gallons), rounded(line.liters),
        f"{line.packages:,}" if line.packages else DASH,
        amount(line.tax) if line.tax is not None else "no figure",
    )  # fmt: skip


def _rates(worksheet: StateWorksheet) -> Table:
    used = [
        line.rate for row in worksheet.states for line in row.lines if line.rate is not None
    ]  # fmt: skip
    rows = tuple(
        (f"{rate.get_state_display()}: {rate.words}, from {rate.effective:%Y-%m-%d}; who pays: "
         f"{rate.payer or 'ask the State'}", rate.source)
        for rate in dict.fromkeys(used)
    )  # fmt: skip
    return Table("Rates used", ("Rate", "Source"), rows, 2)


def _documents(state: StateSum) -> Table:
    rows = tuple(
        (f"{row.day:%Y-%m-%d}", row.document, f"{row.name}, {row.lot}", f"{row.proof:.1f}",
         rounded(row.wine_gallons), rounded(row.liters),
         f"{row.packages:,}" if row.packages else DASH)
        for row in state.removals
    )  # fmt: skip
    heads = ("Day", "Document", "What", "Proof", "Wine gallons", "Liters", "Packages")
    return Table(f"Removals to {state.name}", heads, rows, 3)


def content_of_states(worksheet: StateWorksheet) -> dict[str, Any]:
    """The worksheet as plain data: what a filed one is kept as, and its JSON."""
    return {
        "form": "State excise",
        "premises": worksheet.registry,
        "plant": worksheet.plant,
        "period": worksheet.period.code,
        "begin": worksheet.period.begin.isoformat(),
        "end": worksheet.period.end.isoformat(),
        "states": [_state(row) for row in worksheet.states],
        "through_entry": worksheet.through[0],
        "seal": worksheet.through[1],
        "note": "worksheet, not tax advice; check every rate with the State",
    }


def _state(row: StateSum) -> dict[str, Any]:
    return {
        "state": row.state,
        "name": row.name,
        "tax": _text(row.tax),
        "wine_gallons": str(row.wine_gallons),
        "liters": str(row.liters),
        "is_rated": row.is_rated,
        "lines": [_kept_line(line) for line in row.lines],
        "removals": [_kept_removal(one) for one in row.removals],
    }


def _text(value: Decimal | None) -> str | None:
    return None if value is None else str(value)


def _kept_line(line: RateLine) -> dict[str, Any]:
    return {
        "rate": _kept_rate(line.rate) if line.rate else None,
        "is_least": line.is_least,
        "wine_gallons": str(line.wine_gallons),
        "liters": str(line.liters),
        "packages": line.packages,
        "tax": _text(line.tax),
    }


def _kept_rate(rate: StateRate) -> dict[str, Any]:
    names = ("state", "family", "basis", "payer", "source")
    figures = ("over_proof", "through_proof", "rate", "minimum", "minimum_through_ml")
    return {
        **{name: getattr(rate, name) for name in names},
        **{name: _text(getattr(rate, name)) for name in figures},
        "effective": rate.effective.isoformat(),
        "until": rate.until.isoformat() if rate.until else None,
    }


def _kept_removal(row: StateRemoval) -> dict[str, Any]:
    return {
        "day": row.day.isoformat(),
        "document": row.document,
        "entry": row.entry,
        "lot": row.lot,
        "name": row.name,
        "family": row.family,
        "proof": str(row.proof),
        "wine_gallons": str(row.wine_gallons),
        "liters": str(row.liters),
        "packages": row.packages,
    }
