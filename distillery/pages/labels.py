"""Labels with QR codes for vessels, barrels and cases: choose them, see them, print them."""

from dataclasses import dataclass

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from distillery.code_ranges import codes_of
from distillery.labels import MOST, Worded, labelled, of_cases, of_vessel
from distillery.models import BottlingRun
from distillery.pages.bottlings import run_for
from distillery.pages.people import member_for
from distillery.papers.label_sheet import STOCKS, Label, Stock, label_sheets, square_mm
from distillery.qr import address_of, drawn
from ledger.models import Premises, Vessel

SHOWN = 30
FIRST = next(iter(STOCKS))
RUNS_OFFERED = 40
USED_UP = "Fewer places can be used up than a sheet of this size has: {count}."
EASY_MM = 0.5  # a square that the camera of a tablet reads with ease (common practice, no source)
FINE = (
    "The squares of these codes are {square:.2f} mm wide, and {easy} mm reads with ease. Choose a "
    "larger label, or a shorter address of the book (DISTILLERY_ADDRESS)."
)


class LabelChoice(forms.Form):
    """What the address asks for; nothing asked for is every vessel that is no barrel."""

    codes = forms.CharField(required=False)
    bottling = forms.CharField(required=False)
    cases = forms.CharField(required=False)
    size = forms.ChoiceField(choices=[(one.code, one.title) for one in STOCKS.values()])
    skip = forms.IntegerField(required=False, min_value=0, max_value=29)


@dataclass(frozen=True, slots=True)
class Chosen:
    """The labels, their sheet, and how many places of the first sheet are used up."""

    labels: list[Label]
    stock: Stock
    skip: int


def _chosen(request: HttpRequest, premises: Premises) -> Chosen:
    """The labels that the address asks for. Raises ValueError with a sentence."""
    asked = LabelChoice({"size": FIRST, **request.GET.dict()})
    if not asked.is_valid():
        raise ValueError("Choose a size, and how many places of the first sheet are used up.")
    facts = asked.cleaned_data
    if facts["bottling"]:
        worded = _cases(run_for(premises, facts["bottling"]), facts["cases"])
    else:
        worded = _vessels(premises, facts["codes"])
    stock = STOCKS[facts["size"]]
    labels = [labelled(one, address_of(request, one[2])) for one in worded[:MOST]]
    skip = facts["skip"] or 0
    if skip >= stock.count:
        raise ValueError(USED_UP.format(count=stock.count))
    return Chosen(labels, stock, skip)


def _vessels(premises: Premises, text: str) -> list[Worded]:
    rows = Vessel.objects.filter(premises=premises)
    codes = codes_of(text) if text.strip() else []
    rows = rows.filter(code__in=codes) if codes else rows.exclude(kind=Vessel.Kind.BARREL)
    found = {one.code: one for one in rows.select_related("sheet", "barrel", "premises")}
    missing = [code for code in codes if code not in found]
    if missing:
        raise ValueError(f"There is no vessel “{missing[0]}” here.")
    return [of_vessel(found[code]) for code in codes or sorted(found)]


def _cases(run: BottlingRun, text: str) -> list[Worded]:
    """The bottling's cases, or those of the numbers in *text*: ``A41..A52, A52R``."""
    cases = list(of_cases(run))
    wanted = codes_of(text) if text.strip() else []
    known = {named.partition(":")[2]: one for one in cases for named in (one[2],)}
    missing = [serial for serial in wanted if serial not in known]
    if missing:
        raise ValueError(f"Bottling {run.serial} has no case {missing[0]}.")
    return [known[serial] for serial in wanted] if wanted else cases


def _too_fine(chosen: Chosen) -> str:
    """A sentence where the longest address makes a code too fine for the label; "" for none."""
    if not chosen.labels:
        return ""
    longest = max((one.address for one in chosen.labels), key=len)
    square = square_mm(longest, chosen.stock)
    return FINE.format(square=square, easy=EASY_MM) if square < EASY_MM else ""


@require_safe
def labels(request: HttpRequest) -> HttpResponse:
    """The choice, and what would be printed."""
    premises = member_for(request).premises
    wrong, chosen = "", None
    try:
        chosen = _chosen(request, premises)
    except ValueError as error:
        wrong = str(error)
    runs = BottlingRun.objects.filter(premises=premises, is_void=False).order_by("-pk")
    shown = chosen.labels[:SHOWN] if chosen else []
    told = {
        "asked": request.GET, "wrong": wrong, "chosen": chosen, "sizes": STOCKS.values(),
        "runs": runs.select_related("product")[:RUNS_OFFERED],
        "shown": [(one, drawn(one.address, title=f"QR code of {one.title}")) for one in shown],
        "fine": _too_fine(chosen) if chosen else "",
        "more": len(chosen.labels) - len(shown) if chosen else 0,
    }  # fmt: skip
    return render(request, "labels/labels.html", told)


@require_safe
def sheet(request: HttpRequest) -> HttpResponse:
    """The label sheets as PDF. 404 where nothing can be printed."""
    premises = member_for(request).premises
    try:
        chosen = _chosen(request, premises)
    except ValueError as error:
        raise Http404(str(error)) from error
    if not chosen.labels:
        raise Http404("There is nothing to label.")
    paper = label_sheets(chosen.labels, chosen.stock, skip=chosen.skip, name="Labels")
    answer = HttpResponse(paper, content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="labels.pdf"'
    return answer
