"""A barrel's curve since its last fill: the strength at each gauge or sample, and the volume."""

from collections.abc import Sequence
from decimal import Decimal
from zoneinfo import ZoneInfo

from distillery.barrel_spells import Spell
from distillery.barrel_story import Reading
from distillery.curves.chart import Line, Panel, Point
from distillery.curves.layout import laid_out
from distillery.curves.plotted import Plotted
from ledger.gauging import half_up
from ledger.models import Vessel
from ledger.quantities import to_decimal

WHOLE = ("Filled", "Regauged")  # what these find is all that was in it
HEADS = ("When", "What", "Gallons", "Proof", "PG", "% of the fill")
CAPTION = (
    "Each mark is a gauge or a sample of this fill; gallons are those of the fill, of each regauge "
    "and of the dump. Between two marks nothing was measured."
)


def barrel_curve(
    vessel: Vessel, spells: Sequence[Spell], readings: Sequence[Reading], zone: ZoneInfo
) -> Plotted | None:
    """The curve of the newest of *spells*; None for a barrel never filled."""
    if not spells:
        return None
    spell = spells[-1]
    end = spell.end
    own = [one for one in readings if one.at >= spell.start and (end is None or one.at <= end)]
    proofs = tuple((one.at, found) for one in own if (found := _proof(one)) is not None)
    volumes = _volumes(own, spell)
    panels = [
        Panel(title, (line,))
        for title, line in (
            ("Proof", Line("", proofs, unit="proof")),
            ("Gallons", Line("", volumes, mark="square", places=2, unit="gal")),
        )
        if line.points
    ]
    title = f"Barrel {vessel.code} since its fill of {spell.start.astimezone(zone):%-d %b %Y}"
    chart = laid_out(title, _described(proofs, volumes), panels, zone=zone)
    if chart is None:
        return None
    return Plotted(chart, HEADS, tuple(_row(one, zone) for one in own), CAPTION)


def _proof(one: Reading) -> Decimal | None:
    """As gauged; of a fill without a gauge of its own what the book makes it (27 CFR 30.11)."""
    if one.proof is not None:
        return Decimal(one.proof) / 10
    if not one.wine or one.proof_gallons is None:
        return None
    return half_up(Decimal(one.proof_gallons) * 100 / one.wine, "0.1")


def _volumes(own: Sequence[Reading], spell: Spell) -> tuple[Point, ...]:
    """Gallons of the fill and of each regauge; what emptied it was all that was left."""
    found = [
        (one.at, to_decimal(one.wine))
        for one in own
        if one.wine is not None and (one.title in WHOLE or one.at == spell.end)
    ]
    return tuple(found)


def _described(proofs: Sequence[Point], volumes: Sequence[Point]) -> str:
    told = []
    for name, points in (("Proof", proofs), ("Gallons", volumes)):
        if points:
            told.append(f"{name} from {points[0][1]:f} to {points[-1][1]:f}.")
    return " ".join((*told, "The same figures stand in the table below."))


def _row(one: Reading, zone: ZoneInfo) -> tuple[str, ...]:
    proof = _proof(one)
    return (
        f"{one.at.astimezone(zone):%-d %b %Y}", one.title,
        "" if one.wine is None else f"{to_decimal(one.wine):,.2f}",
        "" if proof is None else f"{proof:.1f}",
        "" if one.proof_gallons is None else f"{to_decimal(one.proof_gallons):,.2f}", one.of_fill,
    )  # fmt: skip
