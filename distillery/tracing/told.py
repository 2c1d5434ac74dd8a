"""A trace as rows of text: one table for both directions, the same on page, screen and file."""

import csv
from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from io import StringIO
from json import dumps, loads
from typing import Literal

from distillery.named_cases import told_of
from distillery.pages.sentences import MINUS, account_title, figure
from distillery.tracing.story import Gone, Stood, Story
from ledger.quantities import COUNTED, amount_from_book, to_decimal
from ledger.shares import LotWords
from ledger.tracing import Kin

Way = Literal["back", "forward"]
WAYS: tuple[Way, ...] = ("back", "forward")
HEADS = (
    "part", "lot", "stage", "name", "share_percent", "quantity", "unit", "supplier", "day",
    "account", "vessel", "document", "entry", "consignee", "address", "bottles", "wine_gallons",
    "proof_gallons", "proof_gallons_traced", "cases",
)  # fmt: skip
UNIT_WORDS = {"pg": "PG", "bottle": "bottles", "each": "pieces"}
_TENTH, _CENT = Decimal("0.1"), Decimal("0.01")
Row = dict[str, str]


def percent(share: Decimal) -> str:
    """A share for a person: ``57.9 %``, ``0.35 %``, ``under 0.1 %``."""
    value = share * 100
    if value >= 1:
        return f"{value.quantize(_TENTH, ROUND_HALF_UP)} %"
    return f"{value.quantize(_CENT, ROUND_HALF_UP)} %" if value >= _TENTH else "under 0.1 %"


def measure_of(lot: LotWords) -> str:
    """The unit in which a trace counts *lot*: materials in their own, wash gallons, else PG."""
    if lot.stage == "material":
        return lot.unit
    return "gal" if lot.stage == "wash" else "pg"


def much(kin: Kin) -> tuple[str, str]:
    """Figure and unit of the quantity of *kin*."""
    unit = measure_of(kin.lot)
    return figure(amount_from_book(kin.quantity, unit)), UNIT_WORDS.get(unit, unit)


def rows_of(story: Story, ways: tuple[Way, ...] = WAYS) -> Iterator[Row]:
    """Every told row of the trace, back first; each row has only what it knows."""
    if "back" in ways:
        for kin in story.sources:
            yield _lot("from", kin, story)
        for kin in story.packed_with:
            yield _lot("packed with", kin, story)
    if "forward" in ways:
        for kin in story.descendants:
            yield _lot("into", kin, story)
        for gone in (*story.removals, *story.spent):
            yield (
                _gone("out", gone, story) if gone.ending.is_removal else _gone("spent", gone, story)
            )
        for stood in story.standing:
            yield _stood(stood, story)


def _lot(part: str, kin: Kin, story: Story) -> Row:
    row = _named(part, kin.lot, kin.share)
    row["quantity"], row["unit"] = much(kin)
    origin = story.origins.get(kin.lot.pk)
    if origin and part != "into":
        zone = story.lot.premises.zone
        row["supplier"] = origin.producer if kin.lot.stage in ("material", "spirits") else ""
        row["day"] = f"{origin.opened_by.happened_at.astimezone(zone):%Y-%m-%d}"
    row["cases"] = story.serials.get(kin.lot.pk, "") if part == "into" else ""
    return row


def _named(part: str, lot: LotWords, share: Decimal) -> Row:
    return {
        "part": part, "lot": lot.code, "stage": lot.stage, "name": lot.name,
        "share_percent": f"{share * 100:.4f}",
    }  # fmt: skip


def _gone(part: str, gone: Gone, story: Story) -> Row:
    one, zone = gone.ending, story.lot.premises.zone
    return {
        **_named(part, gone.lot, gone.share),
        **_three(gone.lot, one.amount, one.wine_gallons, one.proof_gallons),
        "account": account_title(one.account),
        "document": one.entry.document,
        "entry": str(one.entry.number),
        "day": f"{one.entry.happened_at.astimezone(zone):%Y-%m-%d}",
        "consignee": gone.consignee.name,
        "address": gone.consignee.address,
        "proof_gallons_traced": figure(to_decimal(gone.traced_proof_gallons)),
        "cases": _cases_gone(gone, story),
    }  # fmt: skip


def _cases_gone(gone: Gone, story: Story) -> str:
    """The cases that the record names; else those of the lot, of which some went."""
    named = told_of(loads(gone.ending.entry.form or "{}"), gone.lot.code)
    of_lot = story.serials.get(gone.lot.pk, "")
    return named or (f"of {of_lot}" if of_lot else "")


def _stood(stood: Stood, story: Story) -> Row:
    one = stood.standing
    return {
        **_named("here", stood.lot, stood.share),
        **_three(stood.lot, one.amount, one.wine_gallons, one.proof_gallons),
        "account": account_title(one.account),
        "vessel": one.vessel,
        "cases": story.serials.get(one.lot, ""),
    }


def _three(lot: LotWords, amount: int, wine: int, proof: int) -> Row:
    row = {"wine_gallons": figure(to_decimal(wine)), "proof_gallons": figure(to_decimal(proof))}
    if lot.unit == "bottle":
        return {**row, "bottles": f"{amount:,}".replace("-", MINUS)}
    if lot.stage == "material" or lot.unit in COUNTED:
        unit = UNIT_WORDS.get(lot.unit, lot.unit)
        return {**row, "quantity": figure(amount_from_book(amount, lot.unit)), "unit": unit}
    return row


def rest_of(story: Story, way: Way) -> int:
    """How many lots one way are not told for want of weight."""
    if way == "back":
        return story.back.count - len(story.sources) - len(story.packed_with)
    return story.forward.count - len(story.descendants)


def as_csv(story: Story, ways: tuple[Way, ...] = WAYS) -> str:
    """One line a row, every column; figures without thousands marks."""
    sheet = StringIO()
    writer = csv.DictWriter(sheet, HEADS, restval="", lineterminator="\n")
    writer.writeheader()
    for row in rows_of(story, ways):
        writer.writerow({name: _plain(name, value) for name, value in row.items()})
    return sheet.getvalue()


def _plain(name: str, value: str) -> str:
    if "gallons" in name or name in ("quantity", "bottles"):
        return value.replace(",", "").replace("−", "-")
    # A spreadsheet would run a text that begins like a formula.
    return f"'{value}" if value[:1] in ("=", "+", "-", "@") else value


def as_json(story: Story, ways: tuple[Way, ...] = WAYS) -> str:
    """The lot traced, its rows, and how many lots were left out."""
    rows = [{name: value for name, value in row.items() if value} for row in rows_of(story, ways)]
    told = {
        "lot": story.lot.code, "name": story.lot.name, "rows": rows,
        "not_told": {way: rest_of(story, way) for way in ways},
        **({"case": case_lines(story)} if story.case else {}),
    }  # fmt: skip
    return dumps(told, ensure_ascii=False, indent=1) + "\n"


def case_lines(story: Story) -> list[str]:
    """What became of the case that is asked about, a line for each record that names it."""
    if not story.case:
        return []
    rows = [_gone("out", gone, story) for gone in story.case_gone]
    told = [
        ", ".join(
            word
            for word in (row["day"], row["account"], row["document"] or f"entry {row['entry']}",
                         row["consignee"], row["address"])
            if word
        )
        for row in rows
    ]  # fmt: skip
    told += [
        f"opened, entry {one.number}" + (f", into {one.document}" if one.document else "")
        for one in story.case_opened
    ]
    nobody = f"no record names it. Any of lot {story.lot.code} below may be it"
    return [f"Case {story.case}: {one}." for one in told or [nobody]]


def as_text(story: Story, ways: tuple[Way, ...] = WAYS) -> str:
    """Lines for a terminal."""
    lines = [f"Lot {story.lot.code}, {story.lot.name}", *case_lines(story)]
    part = ""
    for row in rows_of(story, ways):
        if row["part"] != part:
            part = row["part"]
            lines += ["", TITLES[part]]
        lines.append(_line(row))
    for way in ways:
        left = rest_of(story, way)
        if left:
            lines += ["", f"{left:,} more {way}, each under 0.1 %; --all tells them."]
    return "\n".join(lines) + "\n"


TITLES = {
    "from": "Came from", "packed with": "Packed with", "into": "Went into", "out": "Removed",
    "spent": "Sold in our shop, lost or left over", "here": "Still here",
}  # fmt: skip


def much_of(row: Row) -> str:
    """The quantity of a row in words: ``307.70 lb``, ``24 bottles, 4.37 PG``."""
    bottles = row.get("bottles", "")
    words = [f"{row['quantity']} {row['unit']}"] if row.get("quantity") else []
    words += [f"{bottles} bottle{'' if bottles == '1' else 's'}"] if bottles else []
    proof, wine = row.get("proof_gallons", "0.00"), row.get("wine_gallons", "0.00")
    words += [f"{proof} PG"] if proof != "0.00" else []
    words += [f"{wine} gal"] if wine != "0.00" and proof == "0.00" else []
    return ", ".join(words)


def _line(row: Row) -> str:
    told = f"  {row['share_percent']:>9} %  {row['lot']:22} "
    if row["part"] in ("from", "packed with", "into"):
        words = [row["stage"], row["name"], much_of(row)]
        words += [row.get("supplier", ""), row.get("day", "")]
    else:
        words = [row.get("day", ""), row["account"], row.get("vessel", ""), row.get("document", "")]
        words += [much_of(row), row.get("consignee", ""), row.get("address", "")]
    words += [f"cases {row['cases']}"] if row.get("cases") else []
    return told + " · ".join(word for word in words if word)
