"""All that one trace tells: lots both ways, where they ended, and what still stands."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from json import loads

from django.db.models import F

from distillery.case_questions import is_kept, recased
from distillery.case_serials import serials_of
from distillery.cased import codes_cased
from distillery.models import CaseSerials
from distillery.named_cases import cases_read, named_by
from distillery.tracing.consignees import Consignee, consignee_of
from ledger.endings import Ending, Standing, endings, standing
from ledger.models import Entry, Lot
from ledger.shares import ONE, LotWords
from ledger.tracing import SHOWN_FROM, Kin, Trace, trace, words_of

CASED_AS = {"mixed": "mixed ", "gift": "gift packs "}
AT_ONCE = 400  # lots asked about in one statement


@dataclass(frozen=True, slots=True)
class Gone:
    """One ending of one lot: what, to whom, and the part of it that came from the traced lot."""

    ending: Ending
    lot: LotWords
    share: Decimal
    consignee: Consignee

    @property
    def traced_proof_gallons(self) -> int:
        """Hundredths of a proof gallon that came from the traced lot, half up."""
        return int(self.ending.proof_gallons * self.share + Decimal("0.5"))


@dataclass(frozen=True, slots=True)
class Stood:
    """What is still in the plant of one lot, and the part of it from the traced lot."""

    standing: Standing
    lot: LotWords
    share: Decimal


@dataclass(frozen=True)
class Story:
    """The trace of one lot; nothing is read before it is asked for.

    ``is_whole`` tells every lot; ``has_all_endings`` where each of them went as well, which is
    for a file: after years nearly every removal there ever was. ``case`` is the number of one
    case of it.
    """

    lot: Lot
    is_whole: bool = False
    case: str = ""
    has_all_endings: bool = False

    @property
    def least(self) -> Decimal:
        """The least share told: all of it, or what carries weight."""
        return Decimal(0) if self.is_whole else SHOWN_FROM

    @cached_property
    def back(self) -> Trace:
        """What the lot came from."""
        return trace(self.lot, "back")

    @cached_property
    def forward(self) -> Trace:
        """What came of the lot."""
        return trace(self.lot, "forward")

    @cached_property
    def sources(self) -> list[Kin]:
        """Told kin that it came from, packing apart."""
        return [one for one in self.back.shown(least=self.least) if not one.is_packing]

    @cached_property
    def packed_with(self) -> list[Kin]:
        """The told bottles, closures and labels of what is traced."""
        return [one for one in self.back.shown(least=self.least) if one.is_packing]

    @cached_property
    def descendants(self) -> list[Kin]:
        """Told kin that came of it."""
        return list(self.forward.shown(least=self.least))

    @cached_property
    def _parts(self) -> dict[int, tuple[LotWords, Decimal]]:
        own = words_of(self.lot)
        told = {own.pk: (own, ONE)}
        least = self.least if self.has_all_endings else SHOWN_FROM
        kin = self.forward.shown(least=least)
        return told | {one.lot.pk: (one.lot, one.share) for one in kin}

    @cached_property
    def endings(self) -> list[Gone]:
        """Every ending of the lot and its told descendants, oldest first."""
        return [
            Gone(one, *self._parts[one.lot], consignee_of(one.entry, one.account))
            for one in endings(self._parts)
        ]

    @cached_property
    def removals(self) -> list[Gone]:
        """The endings that somebody else has, or our own shop."""
        return [one for one in self.endings if one.ending.is_removal]

    @cached_property
    def case_gone(self) -> list[Gone]:
        """The endings whose record names the case: who has it, or what became of it."""
        case = cases_read(self.case)
        return [
            one
            for one in self.endings
            if any(named.meets(case[0]) for named in named_by(one.ending.entry, one.lot.code))
        ] if case else []  # fmt: skip

    @cached_property
    def case_opened(self) -> list[Entry]:
        """The recasings that opened the case."""
        case, lot = cases_read(self.case), self.lot
        rows = Entry.objects.filter(premises=lot.premises_id, operation="recase", reversed_by=None)
        return [
            one
            for one in rows.order_by("happened_at", "number")
            if not is_kept(one) and any(named.meets(case[0]) for named in named_by(one, lot.code))
        ] if case else []  # fmt: skip

    @cached_property
    def spent(self) -> list[Gone]:
        """Losses, residue and what was destroyed."""
        return [one for one in self.endings if not one.ending.is_removal]

    @cached_property
    def standing(self) -> list[Stood]:
        """What is still here."""
        return [Stood(one, *self._parts[one.lot]) for one in standing(self._parts)]

    @cached_property
    def serials(self) -> dict[int, str]:
        """Case numbers by finished lot, as marked on the cases (27 CFR 19.490)."""
        words = [words for words, _ in self._parts.values() if words.unit == "bottle"]
        filled = case_numbers(one.pk for one in words)
        again = recased_numbers(self.lot.premises_id, {one.code for one in words})
        told = {one.pk: (filled.get(one.pk, ""), again.get(one.code, "")) for one in words}
        return {pk: ", ".join(filter(None, both)) for pk, both in told.items() if any(both)}

    @cached_property
    def made(self) -> set[int]:
        """The lots behind this one that came from others; the rest was bought."""
        return {link.child for link in self.back.links}

    @cached_property
    def origins(self) -> dict[int, Lot]:
        """The rows of the told sources and packing, with the entry that opened each."""
        wanted = [one.lot.pk for one in (*self.sources, *self.packed_with)]
        found: dict[int, Lot] = {}
        for start in range(0, len(wanted), AT_ONCE):
            rows = Lot.objects.filter(pk__in=wanted[start : start + AT_ONCE])
            found |= {row.pk: row for row in rows.select_related("opened_by")}
        return found


def recased_numbers(premises: int, lots: set[str]) -> dict[str, str]:
    """The numbers of mixed and other new cases that bottles of *lots* (codes) were put into."""
    found = dict[str, list[str]]()
    for row in recased(premises) if lots else ():
        kind = CASED_AS.get(loads(row.entry.form).get("kind", ""), "")
        for code in codes_cased(row.entry) & lots:
            found.setdefault(code, []).append(f"{kind}{serials_of(row)}")
    return {code: ", ".join(told) for code, told in found.items()}


def case_numbers(lots: Iterable[int]) -> dict[int, str]:
    """The case numbers of finished *lots*, a day's after another."""
    every, found = list(lots), dict[int, list[str]]()
    for start in range(0, len(every), AT_ONCE):
        part = every[start : start + AT_ONCE]
        rows = CaseSerials.objects.filter(
            entry__movements__to_lot__in=part, entry__movements__to_account="finished",
            entry__reversed_by=None,
        )  # fmt: skip
        rows = rows.annotate(lot=F("entry__movements__to_lot")).distinct()
        for row in rows.order_by("entry__happened_at", "entry", "pk"):
            marked = str(serials_of(row))
            if marked:
                found.setdefault(row.lot, []).append(marked)
    return {lot: ", ".join(told) for lot, told in found.items()}
