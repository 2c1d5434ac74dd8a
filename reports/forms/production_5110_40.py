"""TTB F 5110.40, the production report: what was produced and where it went.

Lines and columns as read in edition 10-2021 (same captions in 01/2010); captions are our own
short ones. Which lot gives the column is our reading: the production gauge names the spirits,
so lines 1-13 look at the lot it opens.
"""

from datetime import date

from reports.forms.kinds import OTHER, kind_columns
from reports.forms.shape import (
    INFERRED,
    Column,
    Edition,
    Form,
    Line,
    Part,
    flow,
    numbers,
    only,
    other_than,
)

_ENDS = "storage|processing|tax_determined|taxpaid|us|hospital|export|ftz|cmw|vessels|winery"
PRODUCED = (
    flow("production", f"{_ENDS}|other_plant|research|write_in",
         "deposit|remove|ship|sample|other", side="to"),
)  # fmt: skip


def _out(number: str, caption: str, ends: str, purpose: str, *, explain: bool = False) -> Line:
    return Line(number, caption, (flow("production", ends, purpose, side="to"),), explain=explain)


_RECEIVED = (
    flow("storage|processing|finished", "redistil", "redistil", side="from"),
    flow("tax_determined|taxpaid", "redistil", "return", side="to"),
    flow("other_plant|customs", "redistil", "receive", side="to"),
)

PART_I = Part(
    "I",
    "Transactions",
    kind_columns(wine=False),
    (
        _out("1", "Withdrawn: tax payment", "tax_determined|taxpaid", "remove"),
        _out("2", "Withdrawn: use of the United States", "us", "remove"),
        _out("3", "Withdrawn: hospital, scientific or educational use", "hospital", "remove"),
        _out("4", "Withdrawn: export", "export", "remove"),
        _out("5", "Withdrawn: to foreign trade zone", "ftz", "remove"),
        _out("6", "Withdrawn: to customs manufacturing bonded warehouse", "cmw", "remove"),
        _out("7", "Withdrawn: supplies on vessels or aircraft", "vessels", "remove"),
        _out("8", "Withdrawn: use in wine production", "winery", "remove"),
        _out("9", "Entered in processing account", "processing", "deposit"),
        _out("10", "Entered for transfer in bond", "other_plant", "ship"),
        _out("11", "Entered in storage account", "storage", "deposit"),
        _out("12", "Withdrawn for research, development or testing", "research", "sample"),
        _out("13", "(blank line)", "write_in", "other", explain=True),
        Line("14", "Produced, lines 1 to 13", sums=numbers(1, 13)),
        Line("15", "Received for redistillation", _RECEIVED),
        Line(
            "16",
            "(blank line)",
            (flow("redistil", "write_in", "other", side="from"),),
            explain=True,
        ),
        Line("17a", "Quarter-end inventory: received for redistillation", counted="redistil"),
        Line("17b", "Quarter-end inventory: unfinished spirits", counted="production"),
    ),
    name_other=OTHER,
)

# Whether vodka at 190 proof (column h) belongs in part II is not settled by what was read.
_AT_190 = only("class_code", "spirits_190")
_MATERIALS = {
    "1": ("Grain", "grain"),
    "2": ("Fruit", "fruit"),
    "3": ("Molasses", "molasses"),
    "4": ("Ethyl sulfate", "ethyl_sulfate"),
    "5": ("Ethylene gas", "ethylene"),
    "6": ("Sulphite liquors", "sulphite"),
}
_FRESH = only("redistilled", "no")
_NAMED = "|".join(code for _, code in _MATERIALS.values())
_PG = (Column("b", "Proof gallons"),)

PART_II = Part(
    "II",
    "Alcohol and spirits of 190 proof or more, by material",
    _PG,
    (
        *(
            Line(number, caption, PRODUCED, (*_AT_190, *_FRESH, *only("material", code)))
            for number, (caption, code) in _MATERIALS.items()
        ),
        Line("7", "From redistillation", PRODUCED, (*_AT_190, *only("redistilled", "yes"))),
        Line("8", "(blank line)", PRODUCED, (*_AT_190, *_FRESH, *other_than("material", _NAMED)),
             write_in=("material",)),
    ),
)  # fmt: skip

_WHISKY = only("class_code", "whisky|whisky_over_160")
_KINDS = {"1": "bourbon", "2": "corn", "3": "rye", "4": "light"}

PART_III = Part(
    "III",
    "Whisky, by kind and cooperage",
    (
        Column("b", "New cooperage", only("cooperage", "new")),
        Column("c", "Used cooperage", only("cooperage", "used")),
        # All else counts as tanks, or the part could not add up to line 14.
        Column("d", "Deposited in tanks", other_than("cooperage", "new|used")),
    ),
    (
        *(
            Line(number, code.capitalize(), PRODUCED, (*_WHISKY, *only("kind", code)))
            for number, code in _KINDS.items()
        ),
        Line("5-8", "(blank lines)", PRODUCED,
             (*_WHISKY, *other_than("kind", "|".join(_KINDS.values()))), write_in=("kind",)),
    ),
)  # fmt: skip


def _brandy(number: str, caption: str, code: str, *, grape: bool) -> Line:
    kind = only("kind", "grape") if grape else other_than("kind", "grape")
    return Line(number, caption, PRODUCED, (*only("class_code", code), *kind))


PART_IV = Part(
    "IV",
    "Brandy, by kind",
    _PG,
    (
        _brandy("1", "Grape brandy", "brandy", grape=True),
        _brandy("2", "All other brandy", "brandy", grape=False),
        _brandy("3", "Neutral grape brandy", "brandy_over_170", grape=True),
        _brandy("4", "All other neutral brandy", "brandy_over_170", grape=False),
        Line("5-8", "(blank lines)"),
    ),
)

PART_V = Part(
    "V",
    "Used in redistillation, by kind",
    _PG,
    (
        Line("1-8", "(write in the kind)", (flow("redistil", "production", "charge", side="from"),),
             write_in=("class_code", "kind", "source")),
    ),
)  # fmt: skip

PARTS = (PART_I, PART_II, PART_III, PART_IV, PART_V)

PRODUCTION = Form(
    slug="production",
    number="TTB F 5110.40",
    title="Production operations",
    editions=(
        Edition("01/2010", date(2010, 1, 1), PARTS),
        Edition("10-2021", date(2021, 10, 1), PARTS),
    ),
    notes=(
        "Spirits lost or destroyed before the production gauge are in the daily records only "
        "(27 CFR 19.585).",
        f"Footnotes 4 and 5 and the materials part were not read ({INFERRED}).",
    ),
)
