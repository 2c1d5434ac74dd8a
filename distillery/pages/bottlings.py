"""The bottlings of the plant, and one of them on a page of its own."""

from typing import Any

from django.db.models import Sum
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from distillery.bottling import runs_in
from distillery.bottling_account import account_of
from distillery.check_due import Due, due_of
from distillery.fill_chart import charted
from distillery.fill_picture import LAST, alcohol_words, evenness_words, pictured
from distillery.fill_tests import of_full, targets
from distillery.models import BottleCheck, BottlingRun, KeptSlip
from distillery.pages.people import member_for, operations_for
from distillery.pages.sentences import figure
from distillery.tested_bottles import SIXTY, TANKS, abv, mean_ml
from ledger.models import Lot, Movement, Premises, Vessel

LISTED = 200
ACTS = ("bottle-check", "bottle", "break-bottles", "calibrate-filler", "close-bottling")


@require_safe
def bottlings(request: HttpRequest) -> HttpResponse:
    """The newest bottlings with their bottles so far."""
    member = member_for(request)
    rows = BottlingRun.objects.filter(premises=member.premises, is_void=False)
    runs = list(
        rows.select_related("vessel", "product", "opened_by", "closed_by").order_by("-pk")[:LISTED]
    )
    filled = _filled(member.premises, [run.lot_code for run in runs])
    listed = [(run, filled.get(run.lot_code, 0)) for run in runs]
    return render(request, "things/bottlings.html", {"listed": listed})


def _filled(premises: Premises, codes: list[str]) -> dict[str, int]:
    rows = Movement.objects.filter(
        to_lot__premises=premises, to_lot__code__in=codes, from_account="glass", purpose="bottle"
    )
    return dict(rows.values_list("to_lot__code").annotate(Sum("amount")))


@require_safe
def bottling(request: HttpRequest, code: str) -> HttpResponse:
    """Tank gauge, days, cases, checks with their picture, supplies, breakage, gain or loss."""
    member = member_for(request)
    run = run_for(member.premises, code)
    is_open = run.closed_by is None
    picture = pictured(run)
    offered = {one.slug: one for one in operations_for(member)} if is_open else {}
    return render(
        request,
        "things/bottling.html",
        {
            "run": run,
            "lot": Lot.objects.filter(premises=member.premises, code=run.lot_code).first(),
            "account": account_of(run),
            "slips": KeptSlip.of_entry(run.opened_by),
            "acts": [offered[slug] for slug in ACTS if slug in offered],
            "due": due_of(run, timezone.now()) if is_open else None,
            "picture": picture,
            "drift": "" if picture.drift is None else figure(picture.drift),
            "evenness": evenness_words(picture) if len(picture.points) > 1 else "",
            "alcohol": alcohol_words(run),
            "chart": charted(picture, member.premises.zone),
            "checks": [row_of(one) for one in checks_of(run)],
            "last": LAST,
            "targets": targets(run.product.bottle_ml, run.product.label_proof, SIXTY),
        },
    )


def last_in(vessel: Vessel) -> Due | BottlingRun | None:
    """What a tank's page tells: its open bottling with the next check, else the last one."""
    if vessel.kind not in TANKS:
        return None
    found = runs_in(vessel)
    if not found:
        return None
    return due_of(found[0], timezone.now()) if found[0].closed_by is None else found[0]


def of_lot(lot: Lot) -> BottlingRun | None:
    """The bottling that filled a finished lot."""
    if lot.stage != "bottled":
        return None
    rows = BottlingRun.objects.filter(premises=lot.premises_id, lot_code=lot.code, is_void=False)
    return rows.select_related("product").first()


def run_for(premises: Premises, serial: str) -> BottlingRun:
    """The newest bottling of that serial that was not taken back. Raises Http404."""
    rows = BottlingRun.objects.filter(premises=premises, serial=serial, is_void=False)
    related = ("vessel", "product", "opened_by", "closed_by", "premises")
    run = rows.select_related(*related).order_by("-pk").first()
    if run is None:
        raise Http404("No such bottling at this plant.")
    return run


def checks_of(run: BottlingRun) -> list[BottleCheck]:
    """Its tests, newest first, and the calibrations of its tank just before it was opened."""
    mine = BottleCheck.objects.filter(run=run)
    before = BottleCheck.objects.filter(
        vessel=run.vessel, run=None, at__lte=run.opened_by.happened_at,
        bottle_ml=run.product.bottle_ml,
    )  # fmt: skip
    former = BottlingRun.objects.filter(
        vessel=run.vessel, is_void=False, pk__lt=run.pk, closed_by__isnull=False
    ).order_by("-pk")  # fmt: skip
    last = former.select_related("closed_by").first()
    if last and last.closed_by:
        before = before.filter(at__gt=last.closed_by.happened_at)
    return list((mine | before).prefetch_related("fills").order_by("-at", "-pk"))


def row_of(check: BottleCheck) -> dict[str, Any]:
    """A test as a row of the table: mean, per cent of full, alcohol, verdict in words."""
    fills = [one.fill_ml for one in check.fills.all()]
    mean = mean_ml(fills) if fills else None
    words = {True: "within", False: "out", None: "calibration"}[check.is_within]
    return {
        "check": check,
        "fills": ", ".join(f"{fill}" for fill in fills),
        "mean": mean,
        "of_full": of_full(mean, check.bottle_ml) if mean is not None else None,
        "found": abv(check.found_proof) if check.found_proof is not None else "",
        "label": abv(check.label_proof) if check.label_proof is not None else "",
        "verdict": words,
    }
