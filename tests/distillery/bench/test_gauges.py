"""The bench's gauges against the examples that the regulations work out."""

from decimal import Decimal

import pytest

from tests.distillery.bench.working import figure, refused, worked
from tests.ledger.gauging.published import row, rows

WINE, TRUE, PROOF_GALLONS = "wine gallons at 60 °F", "true proof", "proof gallons"


def test_true_proof_is_interpolated_from_the_cells_it_shows():
    """27 CFR 30.23: 192.85 and 72.10 °F, both corrected, are 190.0."""
    result = worked("true-proof", reading="192.82", temperature="72.15")
    assert dict(result.slip.result) == {TRUE: "190.0 proof"}
    cells = "192 at 72 °F is 189.1; 193 at 72 °F is 190.2; 192 at 73 °F is 188.9"
    assert cells in result.slip.steps[0]
    assert result.carried == {"proof": "190.0"}


@pytest.mark.parametrize(("given", "printed"), rows("table1_true_proof"))
def test_true_proof_is_the_printed_cell(given, printed):
    """The cells of Table 1 that the regulations print."""
    found = figure(
        "true-proof", TRUE,
        reading=given["hydrometer_reading_proof"], temperature=given["temperature_F"],
    )  # fmt: skip
    assert found == printed["true_proof"]


def test_obscuration_is_added():
    """27 CFR 30.62: apparent proof 96.0 and obscuration 0.8 are 96.8."""
    assert figure("true-proof", TRUE, reading=96, temperature=60, obscuration="0.8") == Decimal(
        "96.8"
    )


def test_a_tank_by_volume():
    """27 CFR 30.51: 88 inches of 48.96 gallons, 86.8 proof, 72 °F."""
    _, printed = row("t7-ex-tank")
    typed = {"volume": "4,308.48", "temperature": "72 F", "proof": "86.8", "rounded_to": "0.1"}
    slug = "proof-gallons-by-volume"
    assert figure(slug, WINE, **typed) == printed["wine_gallons_60F"]
    assert figure(slug, PROOF_GALLONS, **typed) == printed["proof_gallons"]
    assert worked(slug, **typed).carried == {"volume": "4286.94"}


def test_bulk_by_weight():
    """27 CFR 30.64: 81,000 lb of 190 proof."""
    _, printed = row("t4-ex-81000")
    typed = {"net": "81,000 lb", "proof": "190", "rounded_to": "0.1"}
    slug = "proof-gallons-by-weight"
    assert figure(slug, WINE, **typed) == printed["wine_gallons_unrounded"]
    assert figure(slug, PROOF_GALLONS, **typed) == printed["proof_gallons"]


@pytest.mark.parametrize(("given", "printed"), rows("table3_proof_gallons"))
def test_small_weights(given, printed):
    """27 CFR 30.63, the figures of Table 3 that it prints."""
    typed = {"net": given["weight_lb"], "proof": given["proof"], "rounded_to": "0.1"}
    found = figure("proof-gallons-by-weight", PROOF_GALLONS, **typed)
    assert found == printed["proof_gallons"]


def test_a_package_with_solids():
    """27 CFR 30.62: 334 lb net, apparent 96.0, obscuration 0.8."""
    _, printed = row("t2-334-960")
    typed = {
        "gross": "434", "tare": "100", "reading": "96", "reading_temperature": "60",
        "obscuration": "0.8",
    }  # fmt: skip
    slug = "proof-gallons-by-package"
    assert figure(slug, WINE, **typed) == printed["wine_gallons"]
    assert figure(slug, PROOF_GALLONS, **typed) == printed["proof_gallons"]


@pytest.mark.parametrize(("given", "printed"), rows("case_gallons"))
def test_cases_by_the_laws_liter(given, printed):
    """27 CFR 30.52 and 19.582: a thousand cases of 100 proof are a thousand times the printed."""
    found = figure(
        "proof-gallons-by-cases", PROOF_GALLONS, cases=1000, proof=100,
        per_case=given["bottles_per_case"], bottle_ml=given["bottle_mL"],
    )  # fmt: skip
    assert found == round(printed["wine_gallons_per_case"] * 1000, 2)


@pytest.mark.parametrize(
    ("slug", "typed", "name", "words"),
    [
        ("true-proof", {"reading": "100"}, "temperature", "required"),
        ("true-proof", {"reading": "100", "temperature": "120"}, "__all__", "from 0 to 100 F"),
        (
            "true-proof", {"reading": "199", "temperature": "60", "obscuration": "50"},
            "__all__", "249.0 proof: read again",
        ),
        ("proof-gallons-by-volume", {"volume": "100"}, "proof", "Give either the proof"),
        (
            "proof-gallons-by-volume", {"volume": "100", "reading": "100"},
            "reading_temperature", "like 68 F",
        ),
        ("proof-gallons-by-volume", {"volume": "5 lb", "proof": "90"}, "volume", "for a weight"),
        (
            "proof-gallons-by-package", {"gross": "90", "tare": "100", "proof": "90"},
            "tare", "more than the gross weight, 90.00 lb",
        ),
        ("proof-gallons-by-cases", {"bottle_ml": "750", "proof": "80"}, "cases", "Give full cases"),
        (
            "proof-gallons-by-cases", {"bottle_ml": "750", "proof": "80", "cases": "2"},
            "per_case", "bottles in a case",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_beside_its_box(slug, typed, name, words):
    (sentence,) = refused(slug, **typed)[name]
    assert words in sentence
