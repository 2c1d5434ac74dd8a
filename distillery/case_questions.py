"""What is odd about the case numbers that a record names: a question each, never a wall."""

from collections.abc import Iterable, Iterator
from json import loads
from typing import Any

from django.db.models import Q, QuerySet

from distillery.case_serials import serials_of
from distillery.cased import lots_cased
from distillery.models import CaseSerials
from distillery.named_cases import FIELDS, Cases, Unread, marked, named_by, read_cases
from ledger.looking import Look
from ledger.models import Descent, Entry, Lot
from ledger.plan import Question

# The acts after which a case is no longer where it stood, in bond and in the taxpaid store.
LEAVING = ("remove", "ship-in-bond", "destroy", "rework", "redistil-bottles", "recase")
SOLD = ("taxpaid-sell",)
MOST = 3  # troubles told in one question
Named = tuple[Lot, Cases]


def case_questions(slug: str, fields: dict[str, Any], look: Look) -> tuple[Question, ...]:
    """Asks where numbers are not read, not known, of another lot, gone, or too many or few."""
    rows = [row for row in _rows(fields) if row["lot"].premises_id == look.premises.pk]
    if not rows:
        return ()
    named: list[Named] = []
    troubles: dict[str, list[str]] = {}
    for row in rows:
        try:
            found = read_cases(_text(row))
        except Unread as unread:
            troubles.setdefault("case-unread", []).append(f"{unread} No trace will find them so.")
            continue
        named += [(row["lot"], one) for one in found]
        troubles.setdefault("case-count", []).extend(_miscounted(row, found))
    troubles["case-twice"] = list(_twice(named))
    troubles["case-unknown"] = list(_unknown(named))
    troubles["case-gone"] = list(_gone(named, SOLD if slug in SOLD else LEAVING, look))
    return tuple(
        Question(code, f"{' '.join(told[:MOST])} Keep it?")
        for code, told in troubles.items()
        if told
    )


def _text(row: dict[str, Any]) -> str:
    return next((row[name] for name in FIELDS if row.get(name)), "")


def _rows(fields: dict[str, Any]) -> Iterator[dict[str, Any]]:
    for value in fields.values():
        for row in value if isinstance(value, list) else ():
            if isinstance(row, dict) and isinstance(row.get("lot"), Lot) and _text(row):
                yield row


def _miscounted(row: dict[str, Any], found: list[Cases]) -> Iterator[str]:
    """Mixed and remnant cases hold single bottles of a lot, so only full cases are compared."""
    count = sum(one.count for one in found if not one.is_remnant)
    if row.get("cases") and count != row["cases"]:
        lot = row["lot"].code
        yield f"{count:,} cases of lot {lot} are named, and the row has {row['cases']:,}."


def _twice(named: list[Named]) -> Iterator[str]:
    for place, (lot, one) in enumerate(named):
        if any(lot == other and one.meets(before) for other, before in named[:place]):
            yield f"Case {one} of lot {lot.code} stands here twice."


def _unknown(named: list[Named]) -> Iterator[str]:
    """Cases never filled with that lot; a lot that came in cases has no numbers to compare."""
    for lot in dict.fromkeys(lot for lot, _ in named):
        known = cases_of(lot)
        if not known:
            continue
        for one in (one for other, one in named if other == lot and not one.lies_in(known)):
            words = ", ".join(map(str, known[-MOST:]))
            whose = f" It was filled with {other}." if (other := _whose(lot, one)) else ""
            yield f"Case {one} is not of lot {lot.code}, whose cases are {words}.{whose}"


def cases_of(lot: Lot) -> list[Cases]:
    """The cases filled with *lot*, or with bottled lots it was made of by a new label."""
    family, new = {lot.pk}, {lot.pk}
    while new:
        parents = Descent.objects.filter(child__in=new, parent__stage="bottled")
        new = set(parents.values_list("parent", flat=True)) - family
        family |= new
    filled = Q(entry__movements__to_lot__in=family, entry__movements__to_account="finished")
    rows = _standing(lot.premises_id).filter(filled).distinct()
    found = [one for row in rows.order_by("pk") for one in marked(serials_of(row))]
    for row in recased(lot.premises_id):
        if any(one.pk in family for one in lots_cased(row.entry)):
            found += marked(serials_of(row))
    return found


def _standing(premises: int) -> QuerySet[CaseSerials]:
    return CaseSerials.objects.filter(premises=premises, entry__reversed_by=None)


def recased(premises: int) -> Iterable[CaseSerials]:
    """The numbers of cases that recasings at the plant made, oldest first."""
    rows = _standing(premises).filter(entry__operation="recase", first__isnull=False)
    return list(rows.select_related("entry").order_by("entry__happened_at", "pk"))


def _whose(lot: Lot, one: Cases) -> str:
    """The lot and name that the first of the cases was filled with, empty where nobody knows."""
    rows = _standing(lot.premises_id).filter(series=one.letters, entry__operation="bottle")
    rows = rows.filter(first__lte=one.first, last__gte=one.first).order_by("-pk")
    for row in rows.select_related("entry")[:1]:
        move = row.entry.movements.filter(to_account="finished").select_related("to_lot").first()
        if move and move.to_lot:
            return f"lot {move.to_lot.code}, {move.to_lot.name}"
    return ""


def is_kept(entry: Entry) -> bool:
    """Whether a recasing only put bottles into cases, which stand on (27 CFR 19.359)."""
    return entry.operation == "recase" and loads(entry.form).get("kind") == "filled"


def _gone(named: list[Named], slugs: tuple[str, ...], look: Look) -> Iterator[str]:
    lots = {lot.pk: lot for lot, _ in named}
    moved = Q(movements__from_lot__in=lots) | Q(operation="recase")
    rows = Entry.objects.filter(moved, premises=look.premises, operation__in=slugs)
    for entry in rows.filter(reversed_by=None, reverses=None).distinct().order_by("number"):
        if is_kept(entry):
            continue
        for lot in lots.values():
            before = named_by(entry, lot.code)
            for one in (one for other, one in named if other == lot):
                if any(one.meets(gone) for gone in before):
                    day = entry.happened_at.astimezone(look.premises.zone)
                    paper = f"{entry.document}, " if entry.document else ""
                    yield (
                        f"Case {one} of lot {lot.code} is gone by the book: {paper}entry "
                        f"{entry.number} of {day:%d %b %Y}."
                    )
