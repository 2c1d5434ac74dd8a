"""Every limit of the standards of identity at its edge and just past it.

27 CFR 5.142-5.151 (87 FR 7526, T.D. TTB-176); whisky rows as in the former 5.22(b), which they
carry over; American single malt: T.D. TTB-199.
"""

from decimal import Decimal

import pytest

from distillery.identity import STANDARDS, Made, findings

NEW, OTHER, NONE = (frozenset({word}) for word in ("new", "other", "none"))
GRAINS = {
    "bourbon": "corn", "rye": "rye", "wheat": "wheat", "malt": "malted_barley",
    "rye malt": "malted_rye",
}  # fmt: skip
TYPED = [
    ("distilled_proof", "160", "160.1"), ("entry_proof", "125", "125.1"),
    ("bottled_proof", "80", "79.9"), ("woods", NEW, OTHER),
]  # fmt: skip
# (name, fact, what meets the limit at its edge, what does not)
EDGES = [
    *((f"{name} whisky", f"grains.{grain}", "51", "50.9") for name, grain in GRAINS.items()),
    *((f"{name} whisky", *edge) for name in GRAINS for edge in TYPED),
    *((f"straight {name} whisky", *edge) for name in GRAINS for edge in TYPED),
    *((f"straight {name} whisky", "new_oak", (2, 0, 0), (1, 11, 29)) for name in GRAINS),
    ("bourbon whisky", "added", frozenset(), frozenset({"coloring"})),
    *((f"straight {name} whisky", "added", frozenset(), frozenset({"blending"}))
      for name in GRAINS),
    ("whisky", "distilled_proof", "189.9", "190"),
    ("whisky", "bottled_proof", "80", "79.9"),
    ("corn whisky", "grains.corn", "80", "79.9"),
    ("corn whisky", "distilled_proof", "160", "160.1"),
    ("corn whisky", "entry_proof", "125", "125.1"),
    ("corn whisky", "woods", OTHER, NEW),
    ("corn whisky", "woods", NONE, NEW),  # corn whisky need not be stored
    ("straight corn whisky", "oak", (2, 0, 0), (1, 11, 29)),
    ("straight whisky", "new_oak", (2, 0, 0), (1, 11, 29)),
    ("light whisky", "distilled_proof", "160.1", "160"),
    ("light whisky", "distilled_proof", "189.9", "190"),
    ("light whisky", "woods", OTHER, NEW),
    ("american single malt whisky", "grains.malted_barley", "100", "99.9"),
    ("american single malt whisky", "distilled_proof", "160", "160.1"),
    ("american single malt whisky", "woods", OTHER, NONE),
    ("blended whisky", "parts.straight", "20", "19.9"),
    ("blended bourbon whisky", "parts.straight bourbon", "51", "50.9"),
    ("blended light whisky", "parts.straight", "19.9", "20"),
    ("spirit whisky", "parts.whisky", "5", "4.9"),
    ("spirit whisky", "parts.straight", "19.9", "20"),
    ("neutral spirits", "distilled_proof", "190", "189.9"),
    ("vodka", "distilled_proof", "190", "189.9"),
    ("vodka", "sugar_g_per_l", "2", "2.1"),
    ("vodka", "citric_g_per_l", "1", "1.1"),
    ("vodka", "woods", NONE, OTHER),
    ("gin", "bottled_proof", "80", "79.9"),
    ("brandy", "distilled_proof", "189.9", "190"),
    ("grape brandy", "distilled_proof", "170", "170.1"),
    ("grape brandy", "oak", (2, 0, 0), (1, 11, 29)),
    ("blended applejack", "parts.apple brandy", "20", "19.9"),
    ("blended applejack", "oak", (2, 0, 0), (1, 11, 29)),
    ("rum", "distilled_proof", "189.9", "190"),
    ("rum", "bottled_proof", "80", "79.9"),
    ("liqueur", "sugar_pct_weight", "2.5", "2.4"),
    ("dry liqueur", "sugar_pct_weight", "9.9", "10"),
    ("bourbon liqueur", "parts.bourbon", "51", "50.9"),
    ("bourbon liqueur", "bottled_proof", "60", "59.9"),
    ("flavored spirits", "bottled_proof", "60", "59.9"),
]  # fmt: skip


def made(fact, value):
    """Spirits of which only one fact is known."""
    value = Decimal(value) if isinstance(value, str) else value
    name, _, key = fact.partition(".")
    if not key:
        return Made(**{name: value})
    # A bill or a blend is known whole: what a second limit of the name asks of it is met.
    whole = {"whisky": Decimal(5)} if key == "straight" else {}
    return Made(**{name: {**whole, key: value}})


@pytest.mark.parametrize(("name", "fact", "meets", "fails"), EDGES)
def test_a_limit_holds_at_its_edge_and_not_past_it(name, fact, meets, fails):
    standard = STANDARDS[name]
    assert findings(standard, made(fact, meets)) == []
    told = findings(standard, made(fact, fails))
    assert [one.fact for one in told] == [fact]
    assert "27 CFR 5.14" in told[0].text or "27 CFR 5.15" in told[0].text


def test_every_standard_has_its_edges_here():
    plain = {"distilled gin", "dry gin", "london gin", "old tom gin"}  # their method: 5.144(b)
    assert {name for name, *_ in EDGES} | plain == set(STANDARDS)
