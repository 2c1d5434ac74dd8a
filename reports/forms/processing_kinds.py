"""Parts III and IV of TTB F 5110.28, from memory: check them against the current form.

Part III is printed as a memo of redistillation inside processing (27 CFR 19.602). The rows of
part IV are data; replace them without touching code when the form is at hand.
"""

from reports.forms.shape import (
    MEMORY,
    WINE_GALLONS,
    Column,
    Line,
    Part,
    Rule,
    flow,
    numbers,
    only,
    other_than,
)

# Line 2, and by kind the bulk column of part IV: what enters the account from outside it.
RECEIVED = (
    flow("storage", "processing", "transfer", side="to"),
    flow("production", "processing", "deposit", side="to"),
    flow("other_plant|winery|customs", "processing", "receive", side="to"),
    flow("tax_determined|taxpaid", "processing", "return", side="to"),
)
_BOTTLED = (flow("processing", "finished", "bottle|package", side="to"),)

PART_III = Part(
    "III",
    "Memo: redistilled inside processing, by kind",
    (
        Column("b", "Into the still",
               flows=(flow("processing", "processing", "redistil_in", side="from"),)),
        Column("c", "Out of the still",
               flows=(flow("processing", "processing", "redistil_out", side="to"),)),
    ),
    (Line("memo", "(kind)", write_in=("class_code", "kind", "source"), status=MEMORY),),
    status=MEMORY,
)  # fmt: skip

_WHISKY = "whisky|whisky_over_160"
_BLENDS = {
    "49": ("Blended straight whisky", "blended straight|blended straight whisky"),
    "50": ("Blended whisky with neutral spirits", "blended|blended whisky"),
    "51": ("Blended whisky with light whisky", "blended with light|blended whisky with light"),
    "52": ("Blended light whisky", "blended light|blended light whisky"),
    "53": ("Other blends of whisky", "blend|other blend|blend of straight whiskies"),
}
_NO_BLEND = other_than("kind", "|".join(codes for _, codes in _BLENDS.values()))
_COCKTAIL, _TEQUILA = "cocktail|mixed drink", "tequila"

_SPIRITS = only("class_code", "spirits_under_190|spirits_190")
_PLAIN = (*_NO_BLEND, *only("source", "domestic"))

# number: caption, rules; exactly one row takes any spirits.
_ROWS: dict[str, tuple[str, tuple[Rule, ...]]] = {
    "48": ("Alcohol and neutral spirits other than vodka", _SPIRITS),
    **{
        number: (caption, (*only("class_code", _WHISKY), *only("kind", codes)))
        for number, (caption, codes) in _BLENDS.items()
    },
    "54": ("Imported whisky",
           (*only("class_code", _WHISKY), *_NO_BLEND, *other_than("source", "domestic"))),
    "55": ("Domestic whisky, 160 proof and under", (*only("class_code", "whisky"), *_PLAIN)),
    "56": ("Domestic whisky, over 160 proof", (*only("class_code", "whisky_over_160"), *_PLAIN)),
    "57": ("Brandy, 170 proof and under", only("class_code", "brandy")),
    "58": ("Brandy, over 170 proof", only("class_code", "brandy_over_170")),
    "59": ("Rum", only("class_code", "rum")),
    "60": ("Gin", only("class_code", "gin")),
    "61": ("Vodka", only("class_code", "vodka")),
    "62": ("Cordials, liqueurs and specialties",
           (*only("class_code", "other|"), *other_than("kind", f"{_COCKTAIL}|{_TEQUILA}"))),
    "63": ("Cocktails and mixed drinks",
           (*only("class_code", "other|"), *only("kind", _COCKTAIL))),
    "64": ("Tequila", (*only("class_code", "other|"), *only("kind", _TEQUILA))),
}  # fmt: skip

PART_IV = Part(
    "IV",
    "Processing by kind of spirits",
    (
        Column("b", "Bulk spirits dumped, PG", flows=RECEIVED),
        Column("c", "Bottled, wine gallons", flows=_BOTTLED, measure=WINE_GALLONS),
    ),
    (
        *(Line(number, caption, where=rules, status=MEMORY)
          for number, (caption, rules) in _ROWS.items()),
        Line("65", "(blank line)", status=MEMORY),
        Line("66", "(blank line)", status=MEMORY),
        Line("67", "Total", sums=numbers(48, 66), status=MEMORY),
    ),
    status=MEMORY,
)  # fmt: skip
