"""The pages of State excise: a month's or quarter's worksheet, its files, and filing it."""

from dataclasses import dataclass
from datetime import date

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from distillery.models import Membership
from distillery.pages.people import member_for
from ledger.errors import BadFact
from ledger.models import Period, Premises
from ledger.posting import next_month
from reports.faces import CONTENT_TYPES, SUFFIXES
from reports.faces.state_sheet import rate_words
from reports.filed_form import FiledForm
from reports.filed_pages import owner_of
from reports.models import StateRate
from reports.state_filing import FiledState, file_state, filed_states, render_states
from reports.state_names import NAMES
from reports.state_periods import MONTH, QUARTER, StatePeriod, period_of
from reports.state_removals import own_state
from reports.state_tax import RateLine, StateSum, StateWorksheet, state_worksheet


@dataclass(frozen=True, slots=True)
class ShownState:
    """One State on the page: its sums, the lines with their rate in words, what was filed."""

    sums: StateSum
    lines: tuple[tuple[str, RateLine], ...]
    filed: FiledState | None
    can_file: bool


def _today(premises: Premises) -> date:
    return timezone.now().astimezone(premises.zone).date()


def _periods(premises: Premises, today: date) -> list[tuple[StatePeriod, list[StatePeriod]]]:
    """Each quarter since the book began, newest first, with its months that have begun."""
    first = Period.objects.filter(premises=premises).order_by("month").first()
    months, month = [], (first.month if first else today.replace(day=1))
    while month <= today:
        months.append(StatePeriod(month, MONTH))
        month = next_month(month)
    quarters = dict.fromkeys(period_of(one.begin, QUARTER) for one in reversed(months))
    return [
        (quarter, [one for one in months if quarter.begin <= one.begin <= quarter.end])
        for quarter in quarters
    ]


@require_safe
def states(request: HttpRequest) -> HttpResponse:
    """Every month and quarter there is a worksheet of, and the rates that are kept."""
    member = member_for(request)
    today = _today(member.premises)
    context = {
        "periods": _periods(member.premises, today),
        "rates": [row for row in StateRate.of(member.premises) if row.holds(today)],
        "own_state": own_state(member.premises),
        "is_owner": member.role == Membership.Role.OWNER,
    }
    return render(request, "reports/states.html", context)


def _worksheet(premises: Premises, span: StatePeriod) -> StateWorksheet:
    if span.begin > _today(premises):
        raise Http404("That period has not begun.")
    return state_worksheet(premises, span)


@require_safe
def state_period(request: HttpRequest, span: StatePeriod) -> HttpResponse:
    """The worksheet of one month or quarter by destination State."""
    member = member_for(request)
    worksheet = _worksheet(member.premises, span)
    kept = filed_states(member.premises, worksheet)
    is_over = _today(member.premises) > span.end
    can_file = is_over and member.role == Membership.Role.OWNER
    named = [*worksheet.states, *(worksheet.of(s) for s in kept if not worksheet.of(s).removals)]
    shown = [_shown(row, kept.get(row.state), can_file=can_file) for row in named]
    context = {
        "worksheet": worksheet,
        "span": span,
        "states": shown,
        "to_file": [row for row in shown if row.can_file],
        "is_over": is_over,
        "formats": CONTENT_TYPES,
    }
    return render(request, "reports/state_period.html", context)


def _shown(sums: StateSum, filed: FiledState | None, *, can_file: bool) -> ShownState:
    is_open = sums.is_state and (filed is None or filed.is_changed)
    lines = tuple((rate_words(line), line) for line in sums.lines)
    return ShownState(sums, lines, filed, can_file and is_open)


@require_safe
def export(request: HttpRequest, span: StatePeriod, format: str) -> HttpResponse:
    """The worksheet as a file; readers may take it too."""
    member = member_for(request)
    if format not in CONTENT_TYPES:
        raise Http404("There is no such format.")
    content = render_states(_worksheet(member.premises, span), format)
    answer = HttpResponse(content, content_type=CONTENT_TYPES[format])
    name = f"{member.premises.registry}-states-{span.code}.{SUFFIXES[format]}"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


@require_http_methods(["GET", "HEAD", "POST"])
def file(request: HttpRequest, span: StatePeriod, state: str) -> HttpResponse:
    """Mark the worksheet of one State as filed."""
    premises = owner_of(request).premises
    if state not in NAMES:
        raise Http404("There is no such State.")
    worksheet = _worksheet(premises, span)
    fields = FiledForm(request.POST or None, initial={"filed_by": request.user.get_username()})
    if request.method == "POST" and fields.is_valid():
        try:
            file_state(premises, span, state, fields.told(), by=request.user.get_username())
        except BadFact as error:
            fields.refuse(error)
        else:
            messages.success(request, f"{NAMES[state]}, {span.words}, is marked as filed.")
            return redirect("reports:state-period", span)
    context = {"fields": fields, "span": span, "sums": worksheet.of(state)}
    return render(request, "reports/state_file.html", context, status=422 if fields.errors else 200)
