"""The reconciliation over a month, a quarter or a year, for a person to read."""

from dataclasses import dataclass
from datetime import date

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from distillery.pages.people import member_for
from ledger.errors import BadFact
from ledger.models import Period, Premises
from ledger.posting import month_of, next_month
from reports.bridge import bridges
from reports.faces import reconciliation_paper
from reports.month_book import month_before, read_month
from reports.stock import bottled_stock, count_differences
from reports.storage_losses import barrel_losses, quarter_of, tank_loss
from reports.waterfall import waterfall


@dataclass(frozen=True, slots=True)
class Span:
    """The months a reading is over, and its words."""

    first: date
    last: date
    title: str


def span_of(text: str, running: date) -> Span:
    """``2026-03``, ``2026-Q1`` or ``2026``; empty is the running month. Raises BadFact."""
    text = text.strip() or f"{running:%Y-%m}"
    if text.isdigit() and len(text) == 4:
        return Span(date(int(text), 1, 1), date(int(text), 12, 1), text)
    year, _, quarter = text.partition("-Q")
    if year.isdigit() and len(year) == 4 and quarter in ("1", "2", "3", "4"):
        first, last = quarter_of(date(int(year), 3 * int(quarter), 1))
        return Span(first, last, f"quarter {quarter} of {year}")
    month = read_month(text)
    return Span(month, month, f"{month:%B %Y}")


def spans(premises: Premises, span: Span, running: date) -> list[tuple[str, str]]:
    """(words, address part) of the neighbours and of the quarter and year around *span*."""
    before, after = month_before(span.first), next_month(span.last)
    quarter = f"{span.first.year}-Q{(span.first.month + 2) // 3}"
    found = [(f"{before:%B %Y}", f"{before:%Y-%m}"), (quarter.replace("-", " "), quarter)]
    found.append((f"{span.first.year}", f"{span.first.year}"))
    if after <= running:
        found.append((f"{after:%B %Y}", f"{after:%Y-%m}"))
    return found


def _asked(request: HttpRequest) -> tuple[Premises, Span, date]:
    premises = member_for(request).premises
    running = month_of(premises, timezone.now())
    try:
        span = span_of(request.GET.get("over", ""), running)
    except (BadFact, ValueError) as error:
        raise Http404(
            "Ask over a month like 2026-03, a quarter like 2026-Q1, or a year."
        ) from error
    if span.first > running:
        raise Http404(f"{span.title} has not begun.")
    return premises, span, running


def reading(premises: Premises, span: Span) -> dict[str, object]:
    """Everything the page and the paper show."""
    found = bridges(premises, span.first, span.last)
    return {
        "span": span,
        "bridges": [(bridge, waterfall(bridge)) for bridge in found],
        "tank": tank_loss(premises, span.last),
        "quarter": quarter_of(span.last),
        "barrels": barrel_losses(premises, span.first, span.last),
        "stock": bottled_stock(premises),
        "differences": count_differences(premises, span.first, span.last),
    }


@require_safe
def reconciliation(request: HttpRequest) -> HttpResponse:
    """The page."""
    premises, span, running = _asked(request)
    context = {
        **reading(premises, span),
        "spans": spans(premises, span, running),
        "months": Period.objects.filter(premises=premises).exists(),
    }
    return render(request, "reports/reconciliation.html", context)


@require_safe
def paper(request: HttpRequest) -> HttpResponse:
    """The same on paper."""
    premises, span, _ = _asked(request)
    content = reconciliation_paper.render(premises, reading(premises, span))
    answer = HttpResponse(content, content_type="application/pdf")
    name = f"{premises.registry}-reconciliation-{span.first:%Y-%m}-{span.last:%Y-%m}.pdf"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer
