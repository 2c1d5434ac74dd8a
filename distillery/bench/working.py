"""Work a calculation from what was typed: one door for the page and the command."""

from dataclasses import dataclass
from typing import Any

from distillery.bench.base import BenchForm, Calculation
from distillery.recording import WHOLE, Refused
from ledger.errors import LedgerError
from ledger.gauging import GaugingError
from ledger.plan import Slip


@dataclass(frozen=True)
class Worked:
    """A result: its slip, and the boxes of the operation's form that it fills in."""

    slip: Slip
    carried: dict[str, str]


def bound(calculation: Calculation, typed: Any) -> BenchForm:
    """The form over *typed* (names to texts; rows as ``lots-0-volume``)."""
    return calculation.form(typed)


def work(calculation: Calculation, typed: Any) -> Worked:
    """The result. Raises Refused with the sentences by their field."""
    form = bound(calculation, typed)
    if not form.is_valid():
        raise Refused({name: [str(e) for e in errors] for name, errors in form.errors.items()})
    try:
        slip = calculation.work(form.cleaned_data)
        return Worked(slip, calculation.carried(form.cleaned_data))
    except GaugingError as error:
        raise Refused({WHOLE: [str(error)]}) from error
    except LedgerError as error:
        name = error.field if error.field in form.fields else WHOLE
        raise Refused({name: [str(error)]}) from error
