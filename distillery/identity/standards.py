"""The standards of identity as a table: a name, its section, and the limits it sets.

Sources: 27 CFR 5.142-5.151 (87 FR 7526, T.D. TTB-176); American single malt: T.D. TTB-199,
effective 19 January 2025. Limits are inclusive unless the row says otherwise.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from distillery.identity.made import Made


@dataclass(frozen=True, slots=True)
class Limit:
    """One thing a name asks: the fact, the test it must pass, and the words for it."""

    fact: str
    passes: Callable[..., bool]
    asks: str


@dataclass(frozen=True, slots=True)
class Standard:
    """A class or type of spirits and what may bear its name."""

    name: str
    section: str
    limits: tuple[Limit, ...]


@dataclass(frozen=True, slots=True)
class Finding:
    """One limit that is not met, as a sentence with its section."""

    fact: str
    text: str


def _most(fact: str, value: object, words: str) -> Limit:
    return Limit(fact, lambda found: found <= value, words)


def _least(fact: str, value: object, words: str) -> Limit:
    return Limit(fact, lambda found: found >= value, words)


def _below(fact: str, value: object, words: str) -> Limit:
    return Limit(fact, lambda found: found < value, words)


def _above(fact: str, value: object, words: str) -> Limit:
    return Limit(fact, lambda found: found > value, words)


def _within(fact: str, allowed: frozenset[str], words: str) -> Limit:
    return Limit(fact, lambda found: found <= allowed, words)


BOTTLED_80 = _least("bottled_proof", Decimal(80), "is bottled at 80 proof or more")
DISTILLED_160 = _most("distilled_proof", Decimal(160), "is distilled at 160 proof or less")
ENTERED_125 = _most("entry_proof", Decimal(125), "enters wood at 125 proof or less")
BELOW_190 = _below("distilled_proof", Decimal(190), "is distilled below 190 proof")
NEW_OAK = _within("woods", frozenset({"new"}), "is stored in charred new oak only")
OTHER_OAK = _within(
    "woods", frozenset({"other", "none"}), "is stored in used or uncharred new oak only"
)
NOTHING_ADDED = _within("added", frozenset(), "holds no coloring, flavoring or blending material")
AGED_NEW_2 = _least("new_oak", (2, 0, 0), "is aged 2 years or more in charred new oak")
AGED_2 = _least("oak", (2, 0, 0), "is aged 2 years or more in oak")
BY_STILL = ("original distillation", "redistillation")
_WHISKY = (BELOW_190, BOTTLED_80)
_TYPED = (DISTILLED_160, ENTERED_125, NEW_OAK, BOTTLED_80)


def _grain(name: str, least: int) -> Limit:
    words = name.replace("_", " ")
    return _least(f"grains.{name}", Decimal(least), f"is made from {least} % or more {words}")


def _part(name: str, least: int, words: str) -> Limit:
    return _least(
        f"parts.{name}", Decimal(least), f"holds {least} % or more {words} by proof gallons"
    )


def _aged_whisky() -> list[Standard]:
    """The types bound to charred new oak, and the straight of each."""
    bills = [
        ("bourbon", "corn"), ("rye", "rye"), ("wheat", "wheat"), ("malt", "malted_barley"),
        ("rye malt", "malted_rye"),
    ]  # fmt: skip
    rows = []
    for name, grain in bills:
        nothing = (NOTHING_ADDED,) if name == "bourbon" else ()
        limits = (_grain(grain, 51), *_TYPED, *nothing)
        rows.append(Standard(f"{name} whisky", "27 CFR 5.143(c)(2)", limits))
        straight = (*limits, AGED_NEW_2, NOTHING_ADDED)
        rows.append(
            Standard(
                f"straight {name} whisky", "27 CFR 5.143(c)(5)", tuple(dict.fromkeys(straight))
            )
        )
    return rows


def _other_whisky() -> list[Standard]:
    corn = (_grain("corn", 80), DISTILLED_160, ENTERED_125, OTHER_OAK, BOTTLED_80)
    straight = (DISTILLED_160, ENTERED_125, NEW_OAK, AGED_NEW_2, NOTHING_ADDED, BOTTLED_80)
    light = (_above("distilled_proof", Decimal(160), "is distilled above 160 proof"), OTHER_OAK)
    single = (
        _grain("malted_barley", 100),
        DISTILLED_160,
        _within("woods", frozenset({"new", "other"}), "is stored in oak barrels of 700 L at most"),
        BOTTLED_80,
    )
    whisky = _part("whisky", 5, "whisky")
    under_20 = _below("parts.straight", Decimal(20), "holds under 20 % straight whisky")
    return [
        Standard("whisky", "27 CFR 5.143(a)", _WHISKY),
        Standard("corn whisky", "27 CFR 5.143(c)(3)", corn),
        Standard("straight corn whisky", "27 CFR 5.143(c)", (*corn, AGED_2, NOTHING_ADDED)),
        Standard("straight whisky", "27 CFR 5.143(c)(5)", straight),
        Standard("light whisky", "27 CFR 5.143(c)(8)", (*light, *_WHISKY)),
        Standard(
            "blended whisky",
            "27 CFR 5.143(c)(10)",
            (_part("straight", 20, "straight whisky"), BOTTLED_80),
        ),
        Standard(
            "blended bourbon whisky",
            "27 CFR 5.143(c)(11)",
            (_part("straight bourbon", 51, "straight bourbon whisky"), BOTTLED_80),
        ),
        Standard("blended light whisky", "27 CFR 5.143(c)", (under_20, BOTTLED_80)),
        Standard("spirit whisky", "27 CFR 5.143(c)(14)", (whisky, under_20, BOTTLED_80)),
        Standard("american single malt whisky", "27 CFR 5.143 (T.D. TTB-199)", single),
    ]


def _spirits() -> list[Standard]:
    neutral = _least("distilled_proof", Decimal(190), "is distilled at 190 proof or more")
    no_wood = _within("woods", frozenset({"none"}), "is not stored in wood")
    vodka = (
        neutral,
        no_wood,
        _most("sugar_g_per_l", Decimal(2), "holds 2 g of sugar a liter at most"),
        _most("citric_g_per_l", Decimal(1), "holds 1 g of citric acid a liter at most"),
        BOTTLED_80,
    )
    by_still = Limit(
        "method",
        lambda found: found in BY_STILL,
        "is made wholly by original distillation or redistillation",
    )
    return [
        Standard("neutral spirits", "27 CFR 5.142(a)", (neutral, BOTTLED_80)),
        Standard("vodka", "27 CFR 5.142(b)", vodka),
        Standard("gin", "27 CFR 5.144", (BOTTLED_80,)),
        Standard("distilled gin", "27 CFR 5.144(b)", (by_still, BOTTLED_80)),
        Standard("dry gin", "27 CFR 5.144(b)", (by_still, BOTTLED_80)),
        Standard("london gin", "27 CFR 5.144(b)", (by_still, BOTTLED_80)),
        Standard("old tom gin", "27 CFR 5.144(b)", (by_still, BOTTLED_80)),
        Standard("brandy", "27 CFR 5.145", (BELOW_190, BOTTLED_80)),
        Standard(
            "grape brandy",
            "27 CFR 5.145(c)(1)",
            (
                _most("distilled_proof", Decimal(170), "is distilled at 170 proof or less"),
                _least("oak", (2, 0, 0), "is aged 2 years or more in oak, else “immature”"),
                BOTTLED_80,
            ),
        ),
        Standard(
            "blended applejack",
            "27 CFR 5.146",
            (
                _part("apple brandy", 20, "apple brandy aged 2 years or more in oak"),
                _least("oak", (2, 0, 0), "has its apple brandy 2 years or more in oak"),
                BOTTLED_80,
            ),
        ),
        Standard("rum", "27 CFR 5.147", (BELOW_190, BOTTLED_80)),
    ]


def _sweetened() -> list[Standard]:
    sweet = _least("sugar_pct_weight", Decimal("2.5"), "holds 2.5 % of sugar by weight or more")
    dry = _below("sugar_pct_weight", Decimal(10), "holds less than 10 % of sugar by weight")
    at_60 = _least("bottled_proof", Decimal(60), "is bottled at 60 proof or more")
    bourbon = _part("bourbon", 51, "bourbon whisky")
    return [
        Standard("liqueur", "27 CFR 5.150(a)", (sweet,)),
        Standard("dry liqueur", "27 CFR 5.150(a)", (sweet, dry)),
        Standard("bourbon liqueur", "27 CFR 5.150(b)(2)", (sweet, bourbon, at_60)),
        Standard("flavored spirits", "27 CFR 5.151", (at_60,)),
    ]


STANDARDS = {
    row.name: row for row in [*_aged_whisky(), *_other_whisky(), *_spirits(), *_sweetened()]
}


def standard_for(family: str, type_code: str) -> Standard | None:
    """The standard a kind like ("whisky", "straight bourbon") is named by, else its family's.

    None where part 5 sets no standard of its own for it.
    """
    words = type_code.lower().replace("whiskey", "").replace("whisky", "").split()
    name = " ".join(words)
    for candidate in (f"{name} {family}", name, family):
        if candidate in STANDARDS:
            return STANDARDS[candidate]
    return None


def findings(standard: Standard, made: Made) -> list[Finding]:
    """What of *made* does not meet *standard*; what nobody knows is passed over."""
    found = []
    for limit in standard.limits:
        value = made.value(limit.fact)
        if value is not None and not limit.passes(value):
            text = f"{standard.name.capitalize()} {limit.asks} ({standard.section})."
            found.append(Finding(limit.fact, text))
    return found


def may_say_charcoal_filtered(made: Made) -> bool:
    """Whether vodka may say so: an ounce of charcoal in 100 wine gallons or more (5.142(b)(1))."""
    ounces = made.charcoal_oz_per_100_gal
    return ounces is not None and ounces >= 1
