"""State excise by destination: what left for each State in a month or quarter, at dated rates.

A worksheet, not advice: a State without a kept rate stands with its gallons and no figure. The
rate is that of the day of removal. Tax is rounded to the cent on the sum at each rate (common
practice, no source).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from ledger.gauging.by_count import WINE_GALLONS_PER_LITER
from ledger.models import Premises
from reports.models import StateRate
from reports.state_names import NAMES, name_of
from reports.state_periods import StatePeriod
from reports.state_removals import StateRemoval, removals, states_in

CENT = Decimal("0.01")
ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class RateLine:
    """What left at one rate: three measures and the tax, None where no rate is kept.

    ``is_least`` where the rate's least a package counted instead.
    """

    rate: StateRate | None
    is_least: bool
    wine_gallons: Decimal
    liters: Decimal
    packages: int
    tax: Decimal | None


@dataclass(frozen=True, slots=True)
class StateSum:
    """One State of the worksheet; ``state`` as in StateRemoval."""

    state: str
    lines: tuple[RateLine, ...]
    removals: tuple[StateRemoval, ...]

    @property
    def name(self) -> str:
        """The State's name, or what stands in its place."""
        return name_of(self.state) or "no State told"

    @property
    def is_state(self) -> bool:
        """Whether it is a State, so that a worksheet of it can be filed."""
        return self.state in NAMES

    @property
    def is_rated(self) -> bool:
        """Whether every part of it has a rate."""
        return all(line.tax is not None for line in self.lines)

    @property
    def tax(self) -> Decimal | None:
        """Dollars at the kept rates; None where none of it has a rate."""
        found = [line.tax for line in self.lines if line.tax is not None]
        return sum(found, Decimal("0.00")) if found or not self.lines else None

    @property
    def wine_gallons(self) -> Decimal:
        """Wine gallons, over all rates."""
        return sum((line.wine_gallons for line in self.lines), ZERO)

    @property
    def liters(self) -> Decimal:
        """Liters, over all rates."""
        return sum((line.liters for line in self.lines), ZERO)


@dataclass(frozen=True, slots=True)
class StateWorksheet:
    """Every State that spirits went to in a period."""

    registry: str
    plant: str
    period: StatePeriod
    states: tuple[StateSum, ...]
    through: tuple[int, str]

    def of(self, state: str) -> StateSum:
        """The sums of one State; empty where nothing went there."""
        return next((row for row in self.states if row.state == state), StateSum(state, (), ()))

    def only(self, state: str) -> "StateWorksheet":
        """The same with one State alone."""
        return StateWorksheet(
            self.registry, self.plant, self.period, (self.of(state),), self.through
        )


def rate_for(
    rates: Iterable[StateRate], state: str, day: date, *, family: str, proof: Decimal
) -> StateRate | None:
    """The rate that *rates* hold for such spirits in *state* on *day*; the plant's own first.

    Where several fit, the one for the family comes before one for all, then the newest.
    """
    held = [row for row in rates if row.state == state and row.holds(day)]
    own = [row for row in held if row.premises_id is not None]
    fitting = [row for row in own or held if row.fits(family, proof)]
    order = [(bool(row.family), row.effective, row.pk or 0) for row in fitting]
    return fitting[order.index(max(order))] if fitting else None


def has_least(rate: StateRate, package_ml: int | None) -> bool:
    """Whether the least a package counts for bottles of *package_ml*: it is more than the rate."""
    if rate.minimum is None or not package_ml:
        return False
    if rate.minimum_through_ml is not None and package_ml > rate.minimum_through_ml:
        return False
    return rate.minimum > owed(rate, liters=Decimal(package_ml) / 1000, packages=1)


def owed(
    rate: StateRate, *, liters: Decimal, packages: int, wine_gallons: Decimal | None = None
) -> Decimal:
    """Dollars, unrounded, by the basis of *rate*; gallons are those of the liters if not given."""
    if rate.basis == StateRate.Basis.LITER:
        return rate.rate * liters
    if rate.basis == StateRate.Basis.PACKAGE:
        return rate.rate * packages
    gallons = liters * WINE_GALLONS_PER_LITER if wine_gallons is None else wine_gallons
    return rate.rate * gallons


def line_of(rate: StateRate | None, rows: Sequence[StateRemoval], *, is_least: bool) -> RateLine:
    """The sums of *rows*, all at one rate, with the tax on them to the cent."""
    gallons = sum((row.wine_gallons for row in rows), ZERO)
    liters = sum((row.liters for row in rows), ZERO)
    packages = sum(row.packages for row in rows)
    tax = None
    if rate is not None and is_least:
        tax = (rate.minimum or ZERO) * packages
    elif rate is not None:
        tax = owed(rate, liters=liters, packages=packages, wine_gallons=gallons)
    rounded = None if tax is None else tax.quantize(CENT, ROUND_HALF_UP)
    return RateLine(rate, is_least, gallons, liters, packages, rounded)


def state_worksheet(premises: Premises, period: StatePeriod) -> StateWorksheet:
    """The worksheet of *period* as the book and the rates stand now."""
    rows = removals(premises, begin=period.begin, end=period.end)
    rates = list(StateRate.of(premises))
    return StateWorksheet(
        premises.registry, premises.name, period,
        tuple(_sum(state, [row for row in rows if row.state == state], rates)
              for state in states_in(rows)),
        (premises.last_number, premises.last_seal),
    )  # fmt: skip


def _sum(state: str, rows: list[StateRemoval], rates: list[StateRate]) -> StateSum:
    groups: dict[tuple[StateRate | None, bool], list[StateRemoval]] = {}
    for row in rows:
        rate = rate_for(rates, state, row.day, family=row.family, proof=row.proof)
        is_least = rate is not None and has_least(rate, row.package_ml)
        groups.setdefault((rate, is_least), []).append(row)
    lines = [line_of(rate, group, is_least=least) for (rate, least), group in groups.items()]
    return StateSum(state, tuple(lines), tuple(rows))
