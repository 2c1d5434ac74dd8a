"""The bench in a terminal: the slip of the page, and its sentences."""

import io

import pytest
from django.core.management import CommandError, call_command

from distillery.bench import calculations


def gauge(*words) -> str:
    """What the command prints."""
    out = io.StringIO()
    call_command("gauge", *words, stdout=out)
    return out.getvalue()


def test_it_prints_the_slip():
    """27 CFR 30.64: 1,000 lb of 200 proof to 190 take 82.03 lb of water."""
    told = gauge("water-by-weight", "net=1,000 lb", "proof=200", "to_proof=190")
    assert told.startswith("Water to add, by weight\n  Net weight: 1,000.00 lb\n")
    assert "  3. 1,082.03 lb - 1,000.00 lb = 82.03 lb of water.\n" in told
    assert "  = water: 82.03 lb\n" in told


def test_rows_are_numbered():
    told = gauge(
        "blend", "lots-0-volume=100", "lots-0-proof=112", "lots-1-volume=12.43", "lots-1-proof=0"
    )
    assert "  = proof: 100.0 proof\n" in told


def test_without_a_slug_it_lists_and_without_values_it_tells_the_names():
    assert [line.partition(":")[0] for line in gauge().splitlines()] == list(calculations())
    told = gauge("water-by-volume").splitlines()
    assert told == [
        "volume: Gallons at 60 °F", "proof: Proof at 60 °F", "to_proof: Cut to proof",
    ]  # fmt: skip
    assert gauge("blend").splitlines()[0] == "lots-0-volume: Gallons at 60 °F"


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["no-such"], "No “no-such” here; one of: proof-gallons-by-cases"),
        (["true-proof", "reading"], "Give it as name=value: reading."),
        (["true-proof", "colour=red"], "There is no “colour” here; one of: reading"),
        (["blend", "lots-x-volume=1"], "There is no “lots-x-volume” here"),
        (["true-proof", "reading=100"], "Temperature at the hydrometer: Fill this in."),
        (["true-proof", "reading=100", "temperature=cold"], "cold is not a temperature"),
        (["true-proof", "reading=100", "temperature=120"], "must be from 0 to 100 F"),
        (["water-by-volume", "volume=1", "proof=90", "to_proof=95"], "give less than that"),
    ],
)
def test_bad_input_is_told_as_the_page_tells_it(words, sentence):
    with pytest.raises(CommandError) as error:
        gauge(*words)
    assert sentence in str(error.value)
