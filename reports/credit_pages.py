"""The pages of the credit for wine and flavor content: what it rests on, and keeping rates."""

from dataclasses import dataclass
from decimal import Decimal

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from distillery.models import DatedSetting, Membership
from distillery.pages.people import member_for
from ledger.models import Lot
from reports.batch_content import Content, Contents
from reports.content_credits import NAME, OFF, UNCONFIRMED
from reports.credit_forms import FORMS
from reports.filed_pages import owner_of
from reports.kept_rates import by_batch, mixed_lots
from reports.models import EffectiveRate
from reports.rates import rates_on

MOST = 40  # lots on the page, the newest


@dataclass(frozen=True, slots=True)
class ShownLot:
    """A lot with wine or flavor in it: its content and the rate that it works out to."""

    lot: Lot
    content: Content
    rate: Decimal


@require_safe
def credits(request: HttpRequest) -> HttpResponse:
    """The rule, the lots with wine or flavor in them, and the rates that are kept."""
    member = member_for(request)
    today = timezone.now().astimezone(member.premises.zone).date()
    contents, general = Contents(member.premises), rates_on(today).general
    lots = mixed_lots(member.premises)[:MOST]
    method = DatedSetting.value_on(member.premises, NAME, today)
    context = {
        "method": method,
        "is_on": method != OFF,
        "general": general,
        "unconfirmed": UNCONFIRMED,
        "lots": [
            ShownLot(lot, contents.of(lot), by_batch(contents.of(lot), general)[0]) for lot in lots
        ],
        "kept": EffectiveRate.objects.filter(premises=member.premises).order_by("-pk")[:MOST],
        "acts": [(name, form.title) for name, form in FORMS.items()],
        "is_owner": member.role == Membership.Role.OWNER,
    }
    return render(request, "reports/credits.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def credit(request: HttpRequest, act: str) -> HttpResponse:
    """Mark an ingredient, or keep a rate by one method."""
    premises = owner_of(request).premises
    if act not in FORMS:
        raise Http404("There is no such form.")
    initial = {"lot": request.GET.get("lot", "")}
    fields = FORMS[act](request.POST or None, premises=premises, initial=initial)
    if request.method == "POST" and fields.is_valid():
        messages.success(request, fields.write(request.user.get_username()))
        return redirect("reports:credits")
    context = {"fields": fields, "title": fields.title, "unconfirmed": UNCONFIRMED}
    return render(request, "reports/credit.html", context, status=422 if fields.errors else 200)
