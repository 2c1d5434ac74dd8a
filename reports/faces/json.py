"""JSON: quantities as decimal strings, keys as the command documents them."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from ledger.quantities import to_decimal
from reports.checks import Check
from reports.filled import FilledForm, FilledLine, FilledPart
from reports.forms.shape import CHECK, READ
from reports.tax import Document, Share, TaxFigure


def render(content: Any) -> bytes:
    """*content* as text, in the order it was built."""
    return (json.dumps(content, indent=2, ensure_ascii=False) + "\n").encode()


def _figure(hundredths: int) -> str:
    return str(to_decimal(hundredths))


def form_content(form: FilledForm, checks: Sequence[Check]) -> dict[str, Any]:
    """A filled form. ``source`` only where the form is by source; ``note`` only where there is."""
    return {
        "form": form.number,
        "edition": form.edition,
        "premises": form.registry,
        "month": f"{form.month:%Y-%m}",
        "status": form.status,
        **({"source": form.source} if form.source else {}),
        "parts": [_part(part) for part in form.parts],
        "checks": [_check(one) for one in checks],
        **_through(form.through),
    }


def _through(through: tuple[int, str]) -> Mapping[str, Any]:
    return {"through_entry": through[0], "seal": through[1]}


def _part(part: FilledPart) -> dict[str, Any]:
    return {
        "part": part.part,
        "title": part.title,
        "columns": [{"key": column.key, "caption": column.caption} for column in part.columns],
        "lines": [_line(line, part) for line in part.lines],
        **({"note": " ".join(part.notes)} if part.notes else {}),
    }


def _line(line: FilledLine, part: FilledPart) -> dict[str, Any]:
    doubtful = line.status != READ or part.status != READ
    notes = [note for note in line.note.split("; ") if note and note != CHECK]
    note = "; ".join([*notes, *([CHECK] if doubtful else [])])
    return {
        "line": line.number,
        "caption": line.caption,
        "cells": {key: _figure(cell.value) for key, cell in line.cells.items()},
        **({"note": note} if note else {}),
    }


def _check(one: Check) -> dict[str, Any]:
    return {
        "check": one.title,
        "holds": one.holds,
        "left": _figure(one.left),
        "right": _figure(one.right),
    }


def tax_content(tax: TaxFigure) -> dict[str, Any]:
    """The tax figure of the month: documents, sums by rate, tiers of the year."""
    return {
        "form": "tax",
        "edition": tax.rates.source,
        "premises": tax.registry,
        "month": f"{tax.month:%Y-%m}",
        "status": tax.status,
        "documents": [_document(document) for document in tax.documents],
        "by_rate": [_share(share) for share in tax.by_rate],
        "proof_gallons": str(tax.proof_gallons),
        "tax": str(tax.tax),
        "year": {
            "used_before": str(tax.used_before),
            "used_after": str(tax.used_after),
            "tiers": [
                {
                    "rate": str(tier.rate),
                    "through": str(tier.through) if tier.through else None,
                    "used": str(tier.used),
                }
                for tier in tax.tiers
            ],
        },
        "note": "worksheet, not tax advice",
        **_through(tax.through),
    }


def _share(share: Share) -> dict[str, Any]:
    return {
        "rate": str(share.rate),
        "proof_gallons": str(share.proof_gallons),
        "tax": str(share.tax),
        **credit_of(share),
    }


def credit_of(share: Share) -> dict[str, Any]:
    """What a credit for wine and flavor content rests on; nothing where the share has none."""
    if not share.lots:
        return {}
    return {
        "effective": str(share.effective),
        "before": str(share.before),
        "lots": list(share.lots),
        "credit": "unconfirmed reading of 26 U.S.C. 5010",
    }


def _document(document: Document) -> dict[str, Any]:
    return {
        "day": f"{document.day:%Y-%m-%d}",
        "document": document.number,
        "kind": document.kind,
        "entries": list(document.entries),
        "shares": [_share(share) for share in document.shares],
        "proof_gallons": str(document.proof_gallons),
        "tax": str(document.tax),
    }
