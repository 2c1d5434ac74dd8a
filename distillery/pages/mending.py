"""Ways to mend an entry: what its page offers, and taking back a chain after showing it all."""

from dataclasses import dataclass
from urllib.parse import urlencode
from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from distillery.chains import Chain, chain_of, may_take_back, take_back
from distillery.devices import made_on
from distillery.models import Membership
from distillery.operations import operations
from distillery.pages import sentences
from distillery.pages.people import entry_for, member_for
from distillery.people import may_record, may_reverse
from distillery.recording import Refused
from distillery.removals import CANCEL, GONE, REMOVE, gone_by, is_marked_not_gone
from distillery.tables import operation_title
from ledger.models import Entry

CHANGED = "The book has moved since this was shown. Look at it again, then take it back."


@dataclass(frozen=True, slots=True)
class Act:
    """A way to mend an entry, and where it leads."""

    title: str
    address: str


def acts_on(entry: Entry, member: Membership) -> list[Act]:
    """Taking back and correcting, where this person may and the entry still stands."""
    if entry.reverses_id or hasattr(entry, "reversed_by"):
        return []
    found = []
    if may_reverse(member.role, member.user.get_username(), entry, timezone.now()):
        found.append(_record("Take back", "reverse", f"entry={entry.number}"))
        known = operations().get(entry.operation)
        if known and not known.is_signed and may_record(member.role, known):
            anew = f"instead_of={entry.number}"
            found.append(_record("Take back and record rightly", known.slug, anew))
        found += _of_removal(entry, member)
        chain = reverse("entry-chain", args=[entry.number])
        found.append(Act("Take back with what stands on it", chain))
    if may_record(member.role, operations()["correct"]) and entry.operation != "correct":
        found.append(_record("Correct by difference", "correct", f"entry={entry.number}"))
    return found


def _of_removal(entry: Entry, member: Membership) -> list[Act]:
    """A removal whose goods never left is cancelled, its number kept (27 CFR 19.611)."""
    if entry.operation != REMOVE or gone_by(entry.premises, entry.document, removal=entry):
        return []
    query = urlencode({"document": entry.document})
    known = [operations()[GONE]] if is_marked_not_gone(entry) else []
    known.append(operations()[CANCEL])
    return [_record(one.title, one.slug, query) for one in known if may_record(member.role, one)]


def _record(title: str, slug: str, query: str) -> Act:
    return Act(title, f"{reverse('record-operation', args=[slug])}?{query}")


@require_http_methods(["GET", "HEAD", "POST"])
def chain(request: HttpRequest, number: int) -> HttpResponse:
    """An entry and all that stands on it; posted, all of it is taken back, newest first."""
    member = member_for(request)
    if member.role == Membership.Role.READER:
        raise PermissionDenied("Readers see everything and record nothing.")
    found = chain_of(entry_for(member.premises, number))
    if request.method != "POST":
        return _shown(request, member, found)
    if request.POST.get("chain") != found.token:
        return _shown(request, member, found, [CHANGED])
    try:
        done = take_back(
            found, premises=member.premises, user=request.user,
            reason=request.POST.get("reason", ""), key=request.POST.get("key", ""),
            made=made_on(request, member.premises),
        )  # fmt: skip
    except Refused as refusal:
        return _shown(
            request, member, found, [t for texts in refusal.errors.values() for t in texts]
        )
    told = ", ".join(f"№ {one.entry.number}" for one in done if one.entry)
    messages.info(request, f"Taken back by {told}.")
    return redirect("entry", number=number)


def _shown(
    request: HttpRequest, member: Membership, found: Chain, problems: list[str] | None = None
) -> HttpResponse:
    first = found.links[-1].entry
    stands = not first.reverses_id and not hasattr(first, "reversed_by")
    together = len(found.links) == 1 or not found.blocked
    return render(
        request,
        "book/chain.html",
        {
            "entry": first,
            "title": operation_title(first.operation),
            "links": [
                (link, operation_title(link.entry.operation), sentences.of_entry(link.entry))
                for link in found.links
            ],
            "stands": stands,
            "blocked": len(found.links) > 1 and bool(found.blocked),
            "can": stands and together and may_take_back(found, request.user),
            "token": found.token,
            "key": request.POST.get("key") or str(uuid4()),
            "reason": request.POST.get("reason", ""),
            "problems": problems or [],
            "acts": acts_on(first, member),
        },
    )
