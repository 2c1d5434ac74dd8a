"""A sequence played through the one door: questions confirmed, refusals told in sentences."""

from collections import Counter
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from random import Random

from django.db import connection, transaction
from hypothesis import strategies as st

from distillery.recording import Asked, Done, Refused, record
from ledger.errors import NotClosable
from ledger.models import Period, Premises
from reports.month_end import close_month
from tests.distillery.sequences.acts import ACTS, make
from tests.distillery.sequences.now import Now
from tests.world import World

# Saying yes to these takes a month's line below zero, as their text tells; nobody who means to
# close the month does.
DECLINED = {"bottled-earlier", "below-zero"}
# What takes back something of a closed month is booked for that month: in a later one it may
# leave a figure below zero, of which the page of the late choice warns (reports/late_choice.py).
TAKES_BACK = {"reverse", "correct", "cancel-invoice", "tip-back"}
START = datetime(2026, 1, 10, 8, 0)
CLOSE = "close"
STEP = st.fixed_dictionaries(
    {
        "slug": st.sampled_from([*sorted(ACTS), "reverse", "reverse", "correct", CLOSE]),
        "seed": st.integers(0, 999),
        # hours from the last act; below zero is an act recorded late
        "jump": st.sampled_from([0, 1, 5, 24, 24, 100, -2, -30, -400]),
        "late": st.sampled_from(["", "open", "amend"]),
        # now and then the act is recorded instead of one of the last entries
        "instead": st.sampled_from([False, False, False, False, False, True]),
    }
)


@contextmanager
def rolled_back():
    """One example: its records leave nothing behind, on both databases."""
    block = transaction.atomic()
    block._from_testcase = True
    with block:
        yield
        connection.check_constraints()
        transaction.set_rollback(True)


@dataclass
class Sequence:
    """One run of steps over the begun plant: what was accepted, what was told instead."""

    world: World
    today: datetime = START
    accepted: Counter = field(default_factory=Counter)
    told: list[tuple[str, str]] = field(default_factory=list)
    impossible: Counter = field(default_factory=Counter)

    def play(self, steps):
        for number, step in enumerate(steps):
            self.step(number, step)

    def step(self, number, step):
        happened = max(START, self.today + timedelta(hours=step["jump"]))
        self.today = max(self.today, happened)
        if step["slug"] == CLOSE:
            return self.close_next()
        now = Now(self.world, Random(step["seed"]), f"{happened:%Y-%m-%d %H:%M}", number)
        more = {"key": f"s{number}", "late": step["late"]}
        if step["instead"] and (entries := now.entries()):
            more["instead_of"] = str(now.any(entries).number)
        if "instead_of" in more or step["slug"] in TAKES_BACK:
            more["late"] = step["late"] and "amend"
        return self.try_one(step["slug"], now, **more)

    def try_one(self, slug, now, **more) -> Done | None:
        """Record one act if there is anything to do it with; None when refused."""
        fields = make(slug, now)
        if fields is None:
            self.impossible[slug] += 1
            return None
        data = {"operation": slug, "at": now.at, **more, **fields}
        data.setdefault("reason", "late slip")
        return self.confirmed(slug, data)

    def confirmed(self, slug, data) -> Done | None:
        """The record with every question answered yes; None once a sentence refuses it."""
        for _ in range(4):
            try:
                done = record(data, premises=self.world.premises, user=self.world.owner)
            except Asked as asked:
                codes = [question.code for question in asked.plan.questions]
                if DECLINED & set(codes):
                    self.told.append((slug, str(asked)))
                    return None
                data["confirm"] = [*data.get("confirm", []), *codes]
            except Refused as refused:
                self.told.append((slug, str(refused)))
                return None
            else:
                self.accepted[slug] += 1
                return done
        raise AssertionError(f"{slug} asks again what was confirmed: {data['confirm']}")

    def close_next(self):
        """Close the oldest open month, if its filings let it."""
        premises = Premises.objects.get(pk=self.world.premises.pk)
        first = Period.objects.filter(premises=premises, state="open").order_by("month").first()
        if not first or first.month >= self.today.date().replace(day=1):
            return
        try:
            close_month(premises, first.month, by="ada")
            self.accepted[CLOSE] += 1
        except NotClosable as reasons:
            # What the forms do not bear is told; nothing has changed.
            self.told.append((CLOSE, str(reasons)))
