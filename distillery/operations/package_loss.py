"""Packages found leaking, missing or tampered with (27 CFR 19.461(b), 19.462(c), 19.463)."""

from dataclasses import dataclass
from typing import Any

from distillery import barrel_life
from distillery.barrel_life import Kind
from distillery.forms import ChoiceField, RecordForm, TextField, VesselField
from distillery.gauged_rows import GaugedPart, GaugedRowsField, gauge_of
from distillery.operations.base import Fields, Operation
from distillery.packages import gauge_step
from distillery.plans import gallons, one_of, pg, place, slip
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Entry
from ledger.plan import Leg, Place, Plan, Question, Slip

ACCOUNTS = ("storage", "processing")
CAUSES = [
    ("leak", "leaking"),
    ("accident", "broken in an accident"),
    ("missing", "missing, not explained"),
    ("theft", "theft, or tampered with"),
]
REPORTED = ("missing", "theft")  # at once: 27 CFR 19.462(c), 19.463
ASSESSED = 500  # hundredths of a proof gallon that TTB may assess a package, 27 CFR 19.463(b)


class LostPart(GaugedPart):
    """One package; the gauge is of what is left in it, none when nothing is."""

    field_order = ("vessel", "marks")
    vessel = VesselField("barrel", label="Barrel")
    marks = TextField(max_length=120, label="What was seen: leak, seal, bore hole")


class PackageLossForm(RecordForm):
    """Which packages, what happened, and who was told."""

    packages = GaugedRowsField(LostPart, label="Packages, each with the gauge of what is left")
    cause = ChoiceField(choices=CAUSES, label="Cause")
    found_how = TextField(required=True, label="How and by whom it was found")
    reported = TextField(label="Told to TTB, when and how")
    excused = TextField(label="Theft or missing: why no tax is due, like a claim filed")


@dataclass(frozen=True, slots=True)
class Lost:
    """One package: what it held by the book and hundredths that are left."""

    held: Held
    wine: int
    proof: int

    @property
    def lost(self) -> int:
        """Hundredths of a proof gallon that are gone."""
        return self.held.proof_gallons - self.proof


class PackageLoss(Operation):
    """What is gone leaves its account under its cause; unexcused theft is taxed."""

    slug = "package-loss"
    title = "Leaking or missing barrels"
    group = "Store"
    form = PackageLossForm
    hazards = ("leak", "barrels", "ethanol_vapour")
    kinds = ("barrel",)
    accounts = ACCOUNTS
    vessel_field = "packages-vessel"
    is_rare = True

    def plan(self, fields: Fields, look: Look) -> Plan:
        """A leg a package to loss."""
        found, slips = _found(fields["packages"], look)
        cause = fields["cause"]
        is_taxed = cause in REPORTED and not fields["excused"]
        legs = [
            Leg(
                place(one.held), Place("loss", one.held.lot.code), cause, 0,
                max(0, one.held.wine_gallons - one.wine), one.lost, taxed=is_taxed,
            )
            for one in found
        ]  # fmt: skip
        lost = sum(one.lost for one in found)
        lines = [
            f"{one.held.vessel.code}: {pg(one.lost)} of lot {one.held.lot.code}." for one in found
        ]
        lines.append(f"{dict(CAUSES)[cause].capitalize()}: {pg(lost)}.")
        return Plan(
            tuple(legs), slips=slips, lines=(*lines, *_consequence(fields, len(found))),
            questions=_report(fields),
        )  # fmt: skip

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """What was seen of each."""
        kind = Kind.MISSING if fields["cause"] in REPORTED else Kind.LEAKING
        barrel_life.note_each(
            entry,
            kind,
            [(row["vessel"], {"words": _seen(row, fields)}) for row in fields["packages"]],
        )

    def taken_back(self, entry: Entry) -> None:
        """It was not so."""
        barrel_life.take_back(entry)


def _seen(row: dict[str, Any], fields: Fields) -> str:
    told = (dict(CAUSES)[fields["cause"]], row["marks"], fields["found_how"])
    return ", ".join(text for text in told if text)[:400]


def _found(rows: list[dict[str, Any]], look: Look) -> tuple[list[Lost], tuple[Slip, ...]]:
    codes = [row["vessel"].code for row in rows]
    if len(set(codes)) != len(codes):
        raise BadFact("A barrel stands here twice. Give each one row.", field="packages")
    look(*codes)
    found, slips = [], []
    for row, code in zip(rows, codes, strict=True):
        held = one_of(look.in_account(code, *ACCOUNTS), code, field="packages")
        gauge = gauge_of(row, step=gauge_step(look))
        wine, proof = gallons(gauge) if gauge else (0, 0)
        if proof > held.proof_gallons:
            raise BadFact(
                f"The gauge finds {pg(proof)} in {code}, more than the book's "
                f"{pg(held.proof_gallons)}. Record a regauge instead.",
                field="packages",
            )
        found.append(Lost(held, wine, proof))
        slips += [slip(gauge, code)] if gauge else []
    return found, tuple(slips)


def _consequence(fields: Fields, packages: int) -> list[str]:
    if fields["cause"] not in REPORTED:
        return []
    if fields["excused"]:
        return [f"No tax is due: {fields['excused']}."]
    return [
        "Tax is due on it unless it is excused or a claim is allowed (27 CFR 19.461, 19.462(c)).",
        f"Without effective controls TTB may assess 5 PG a package, {pg(ASSESSED * packages)} here "
        "(27 CFR 19.463(b)).",
    ]


def _report(fields: Fields) -> tuple[Question, ...]:
    if fields["cause"] not in REPORTED or fields["reported"]:
        return ()
    text = (
        "Missing packages and theft are told to TTB at once (27 CFR 19.462(c), 19.463). Keep it, "
        "and tell them?"
    )
    return (Question("report-theft", text),)
