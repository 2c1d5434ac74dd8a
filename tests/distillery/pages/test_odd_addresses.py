"""Odd characters in addresses and questions: not found or a sentence, never a fault of ours.

PostgreSQL takes no NUL in any text, SQLite does; a digit is 0 to 9 (RFC 3986 names no other).
"""

from urllib.parse import quote

import pytest
from django.urls import reverse

from tests.distillery.pages.addresses import CODES, SAMPLES, addresses, patterns
from tests.distillery.pages.conftest import bottled, gauged, running

pytestmark = pytest.mark.django_db

# A lone surrogate in UTF-8, as a browser would never send it (RFC 3629 section 3).
SURROGATE = "%ED%A0%80"
WORDS = [*map(quote, ("\x00", "²", "9" * 30, "x" * 10000)), SURROGATE]
ANSWERS = [*map(quote, ("\x00", "٣", "-1", "9" * 30))]
ASKED = (
    "page", "per_page", "from-page", "from-per_page", "s0-page", "s0-per_page", "into-page",
    "sort", "code", "lot", "place", "step", "vessel", "over", "key", "instead_of", "next", "book",
    "codes", "kept", "part", "row", "column", "account", "operation", "first", "last", "since",
    "until", "size", "skip", "direction", "all", "case", "day", "month", "year", "q", "from",
    "to", "number", "lots-0-volume", "kind", "format", "cells",
)  # fmt: skip


@pytest.fixture
def owner(world, client_of):
    gauged(world)
    bottled(world)
    running(world)
    client = client_of(world.owner)
    client.raise_request_exception = False
    return client


def varied():
    """(name, path with QQQ in the place of one part) of every address that has parts."""
    for name, pattern in patterns():
        if name.startswith("admin:"):
            continue
        parts = pattern.pattern.converters
        kwargs = {key: CODES.get(name, SAMPLES[key]) for key in parts}
        for key in parts:
            full = reverse(name, kwargs=kwargs)
            told = parts[key].to_url(kwargs[key])
            at = full.rfind(told) if key != "span" else full.find(told)
            yield name, full[:at] + "QQQ" + full[at + len(told) :]


def faults(client, paths):
    found = []
    for path in paths:
        answer = client.get(path)
        if answer.status_code >= 500:
            found.append((path[:80], answer.exc_info and repr(answer.exc_info[1])[:120]))
    return found


def test_an_odd_part_of_an_address_is_not_found(owner):
    paths = [path.replace("QQQ", word) for _, path in varied() for word in WORDS]
    assert len(paths) > 300
    assert faults(owner, paths) == []


def test_an_odd_question_gets_a_sentence_or_nothing(owner):
    pages = sorted({one.path.partition("?")[0] for one in addresses()})
    asked = ["&".join(f"{name}={word}" for name in ASKED) for word in ANSWERS]
    assert faults(owner, [f"{page}?{one}" for page in pages for one in asked]) == []
