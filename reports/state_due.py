"""When a worksheet of State excise is due: by the day that a State's kept rate names.

Only what left for the State makes one due; whether the State wants one without sales is its own
to say. How far back is looked is a quarter before the one that runs.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from ledger.models import Premises
from reports.models import Filed, StateRate
from reports.state_names import NAMES, name_of
from reports.state_periods import QUARTER, StatePeriod, period_of
from reports.state_removals import removals

PREFIX = "state-"


@dataclass(frozen=True, slots=True)
class StateDue:
    """One worksheet that is not filed."""

    state: str
    period: StatePeriod
    day: date

    @property
    def name(self) -> str:
        """The State's name."""
        return name_of(self.state)


def _since(today: date) -> date:
    """The first day of the quarter before the one that runs."""
    return period_of(period_of(today, QUARTER).begin - timedelta(days=1), QUARTER).begin


def _days(rates: Iterable[StateRate]) -> dict[str, list[StateRate]]:
    """The rates with a due day by State; a plant's own stand before the shared ones."""
    found: dict[str, list[StateRate]] = {}
    for row in sorted(rates, key=lambda row: (row.premises_id is None, -row.effective.toordinal())):
        found.setdefault(row.state, []).append(row)
    return found


def states_due(premises: Premises, today: date) -> Iterator[StateDue]:
    """Each State and period with removals, a known due day, and no filed worksheet."""
    rates = _days(StateRate.of(premises))
    since = _since(today)
    went = removals(premises, begin=since, end=today)
    rows = Filed.objects.filter(premises=premises, form__startswith=PREFIX, begin__gte=since)
    done = set(rows.values_list("form", "source", "begin"))
    wanted = {}
    for one in went:
        held = next((r for r in rates.get(one.state, ()) if r.holds(one.day)), None)
        if one.state in NAMES and held and held.filing_day:
            period = period_of(one.day, held.every)
            wanted[one.state, period] = period.due(held.filing_day)
    for (state, period), day in wanted.items():
        if (f"{PREFIX}{state}", period.every, period.begin) not in done:
            yield StateDue(state, period, day)
