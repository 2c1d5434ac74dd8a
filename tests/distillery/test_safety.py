"""Cautions: every hazard has its text once, short, with a source, and none is a verdict."""

import re

import pytest

from distillery.operations import operations
from distillery.safety import CAUTIONS, SEEN, TRIGGERED, WHO_DECIDES

ALL = CAUTIONS | TRIGGERED
VERDICT = re.compile(r"\b(is safe|are safe|safely|compliant|permitted|allowed|within the limit)\b")


@pytest.mark.parametrize("operation", operations().values(), ids=lambda op: op.slug)
def test_every_hazard_of_an_operation_has_its_text(operation):
    assert set(operation.hazards) <= set(CAUTIONS)


def test_every_text_is_used():
    used = {code for operation in operations().values() for code in operation.hazards}
    assert set(CAUTIONS) <= used


@pytest.mark.parametrize("code", ALL)
def test_a_caution_is_at_most_three_short_lines(code):
    # people stop reading after three (common practice, no source)
    lines = ALL[code].lines
    assert 1 <= len(lines) <= 3
    assert max(map(len, lines)) <= 90


@pytest.mark.parametrize("code", ALL)
def test_a_caution_tells_its_source(code):
    assert ALL[code].source


@pytest.mark.parametrize("code", ALL)
def test_a_caution_never_says_that_an_act_is_safe(code):
    caution = ALL[code]
    assert not VERDICT.search(" ".join((caution.title, *caution.lines)).lower())


def test_the_last_word_is_left_to_those_who_decide():
    for word in ("codes", "fire marshal", "OSHA", "licensed"):
        assert word in WHO_DECIDES


def test_no_code_is_of_two_cautions():
    assert len(ALL) == len(CAUTIONS) + len(TRIGGERED)
    assert not set(ALL) & set(SEEN)
