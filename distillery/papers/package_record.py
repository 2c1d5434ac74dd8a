"""The package gauge record (27 CFR 19.619): each package by its weights and proof gallons."""

from distillery.papers.containers import Container, original_proof_gallons
from distillery.papers.paper import (
    BLANK,
    NOT_ASKED,
    Facts,
    Note,
    Paper,
    Table,
    day,
    facts_of,
    foot_of,
    gallons,
    proof,
)
from ledger.models import Entry

HEADS = (
    "Package identification", "Cooperage", "Kind", "Gross weight", "Tare on regauge",
    "Net weight", "Proof", "PG, regauge", "PG, original", "Receiving weight",
)  # fmt: skip
SHARES = (14, 10, 17, 11, 10, 11, 7, 9, 9, 10)
RECEIVING = (
    "Receiving weights are told where they differ materially after a transfer in bond; this gauge "
    "follows none."
)


def package_record(
    entry: Entry, packages: tuple[Container, ...], origin: tuple[tuple[str, str], ...]
) -> Paper:
    """The paper of *packages*; *origin* tells who made the spirits and at what proof."""
    facts = (
        ("Date prepared", day(entry, "recorded_at")),
        ("Related record", "Gauge record"),
        ("Its serial number", entry.document),
        *origin,
    )
    table = Table("Packages", HEADS, (*map(_row, packages), _total(packages)), SHARES)
    return Paper(
        "Package gauge record, 27 CFR 19.619", facts_of(entry),
        (Facts("The record", facts), table, Note(RECEIVING)), foot_of(entry),
    )  # fmt: skip


def _is_regauge(one: Container) -> bool:
    return one.movement.purpose == "redistil"


def _original(one: Container) -> int | None:
    row = one.movement
    return original_proof_gallons(row) if _is_regauge(one) else row.proof_gallons


def _row(one: Container) -> tuple[str, ...]:
    row, original = one.movement, _original(one)
    again = _is_regauge(one)
    return (
        one.package,
        one.wood,
        row.to_lot.name,
        one.gross,
        one.tare if again else NOT_ASKED,
        one.net,
        proof(row.proof),
        gallons(row.proof_gallons) if again else NOT_ASKED,
        BLANK if original is None else gallons(original),
        NOT_ASKED,
    )


def _total(packages: tuple[Container, ...]) -> tuple[str, ...]:
    again = [one.movement.proof_gallons for one in packages if _is_regauge(one)]
    found = [_original(one) for one in packages]
    first = [amount for amount in found if amount is not None]
    regauged = gallons(sum(again)) if again else NOT_ASKED
    original = gallons(sum(first)) if len(first) == len(found) else BLANK
    return ("Total", "", "", "", "", "", "", regauged, original, "")
