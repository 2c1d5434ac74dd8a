"""From what stands on a bottle, case, barrel or tank to the lot that is traced."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import chain

from django.db.models import Q

from distillery.case_serials import SERIES
from distillery.cased import lots_cased
from distillery.models import BottlingRun, CaseSerials
from ledger.models import Entry, Holding, Lot, Movement, Premises, Vessel
from ledger.models.book import LIVE

# "VODKA-750 43", "VODKA-750:A43R"; a number alone may be a case of any product.
CASE = re.compile(
    r"(?:(?P<product>.*?)[\s:#]+)?(?P<letters>[A-Z]{0,10})(?P<number>\d{1,7})R?", re.IGNORECASE
)
MOST = 30  # choices offered for one code
NEAR = 5  # near codes told
NEAR_AMONG = 3000  # codes compared for nearness
CLOSENESS = 0.5


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that a code may mean: what kind of code it is, in words, and its lot.

    ``case`` is the number of the case that the code names, as marked.
    """

    kind: str
    told: str
    lot: Lot
    case: str = ""


class UnknownCode(ValueError):
    """A code that means nothing here; the text is the sentence, ``near`` codes like it."""

    def __init__(self, sentence: str, near: list[str]) -> None:
        super().__init__(sentence)
        self.near = near


def choices_for(premises: Premises, text: str) -> list[Choice]:
    """Every lot that *text* may mean, each once. Raises UnknownCode when there is none."""
    code = " ".join(text.split())
    if not code:
        raise UnknownCode("Give a code, like G-12 or K-40.", [])
    if not code.isprintable():
        raise UnknownCode("A code has letters, digits and marks that can be printed.", [])
    ways = (_lots, _vessels, _bottlings, _cases)
    found: dict[int, Choice] = {}
    for one in chain.from_iterable(way(premises, code) for way in ways):
        found.setdefault(one.lot.pk, one)
    if not found:
        raise _unknown(premises, code)
    return list(found.values())[:MOST]


def _lots(premises: Premises, code: str) -> Iterator[Choice]:
    rows = list(Lot.objects.filter(premises=premises, code=code))
    if not rows:
        rows = list(Lot.objects.filter(premises=premises, code__iexact=code)[:MOST])
    for lot in rows:
        yield Choice("lot", f"lot {lot.code}, {lot.name}", lot)


def _vessels(premises: Premises, code: str) -> Iterator[Choice]:
    rows = Vessel.objects.filter(premises=premises, code__iexact=code)
    for vessel in rows[:MOST]:
        kind = vessel.get_kind_display()
        held = list(_held(vessel))
        for lot in held:
            yield Choice(kind, f"{kind} {vessel.code}, which holds {lot.code}, {lot.name}", lot)
        last = None if held else _last_in(vessel)
        if last:
            told = f"{kind} {vessel.code}, empty now, which last held {last.code}, {last.name}"
            yield Choice(kind, told, last)


def _held(vessel: Vessel) -> Iterator[Lot]:
    rows = Holding.objects.filter(LIVE, vessel=vessel).select_related("lot").order_by("-lot")
    for row in rows[:MOST]:
        yield row.lot


def _last_in(vessel: Vessel) -> Lot | None:
    rows = Movement.objects.filter(to_vessel=vessel, to_lot__isnull=False)
    rows = rows.filter(entry__reverses=None, entry__reversed_by=None)
    row = rows.select_related("to_lot").order_by("-at", "-pk").first()
    return row.to_lot if row else None


def _bottlings(premises: Premises, code: str) -> Iterator[Choice]:
    rows = BottlingRun.objects.filter(premises=premises, serial__iexact=code, is_void=False)
    for run in rows[:MOST]:
        lot = Lot.objects.filter(premises=premises, code=run.lot_code).first()
        if lot:
            yield Choice("bottling", f"bottling {run.serial}, lot {lot.code}, {lot.name}", lot)


def _cases(premises: Premises, code: str) -> Iterator[Choice]:
    """Cases by product and the number printed on them (27 CFR 19.490)."""
    match = CASE.fullmatch(code)
    if not match:
        return
    number, letters, product = int(match["number"]), match["letters"], match["product"]
    rows = CaseSerials.objects.filter(premises=premises, entry__reversed_by=None)
    rows = rows.filter(last__gte=number).select_related("product", "entry")
    if letters:
        rows = rows.filter(series__iexact=letters)
    if product and product.lower() != "case":
        rows = rows.filter(Q(product__code__iexact=product) | Q(product__name__iexact=product))
    for row in rows.order_by("series", "-last"):
        if _has(row, number):
            yield from _in_case(row, number, remnant="R" if code[-1] in "Rr" else "")


def _in_case(row: CaseSerials, number: int, *, remnant: str) -> Iterator[Choice]:
    """Each lot in a case: of a bottling one, of a mixed case all of them."""
    case = f"{row.series}{number}{remnant}"
    lots = cased_by(row)
    whose = f" of {row.product}" if row.product else " of mixed bottles" if len(lots) > 1 else ""
    for lot in lots:
        yield Choice("case", f"case {case}{whose}, lot {lot.code}", lot, case)


def cased_by(row: CaseSerials) -> list[Lot]:
    """The lots in the cases of *row*: filled, or put together of other cases and bottles."""
    if row.entry.operation == "recase":
        return lots_cased(row.entry) if row.first else []
    return finished_by(row.entry)


def finished_by(entry: Entry) -> list[Lot]:
    """The finished lots that *entry* put into cases."""
    rows = entry.movements.filter(to_account="finished").select_related("to_lot").order_by("leg")
    return list(dict.fromkeys(row.to_lot for row in rows if row.to_lot))


def _has(row: CaseSerials, number: int) -> bool:
    """Whether the printed *number* is one of the row's: numbers begin anew after a million."""
    first = row.first or row.last
    return first + (number - first) % SERIES <= row.last


def _unknown(premises: Premises, code: str) -> UnknownCode:
    lots = Lot.objects.filter(premises=premises)
    vessels = Vessel.objects.filter(premises=premises)
    known: dict[str, None] = {}
    for start in (code[:3], code[:1]):
        for rows in (lots, vessels):
            like = rows.filter(code__istartswith=start).order_by("-pk")
            known |= dict.fromkeys(like.values_list("code", flat=True)[:NEAR_AMONG])
    upper = {one.upper(): one for one in known}
    close = get_close_matches(code.upper(), upper, NEAR, CLOSENESS)
    near = [upper[one] for one in close]
    return UnknownCode(
        f"There is no lot, vessel, barrel, case or bottle “{code[:60]}” here. "
        + ("Take one of the near codes, or check it." if near else "Check the code."),
        near,
    )
