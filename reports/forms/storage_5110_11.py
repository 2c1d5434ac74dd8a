"""TTB F 5110.11, the storage report: one for each source of spirits held or moved.

Lines 1-6, 17, 18, 23 and 24 were read in official help; the withdrawals in between follow the
order of 27 CFR 19.590(c), fixed by lines 17 and 18. The line of the losses is from memory: by
the count of 19.590(c) it would be 21. Change LOSS_LINE and BLANK_LINE when the form is at hand.
"""

from datetime import date

from reports.forms.kinds import OTHER, kind_columns
from reports.forms.shape import INFERRED, MEMORY, Edition, Flow, Form, Line, Part, flow, numbers

LOSS_LINE, BLANK_LINE = "22", "21"


def _in(number: str, caption: str, *flows: Flow, explain: bool = False) -> Line:
    return Line(number, caption, flows, explain=explain)


def _out(number: str, caption: str, ends: str, purpose: str, *, status: str = INFERRED) -> Line:
    return Line(number, caption, (flow("storage", ends, purpose, side="from"),), status=status)


_LOSSES = Line(
    LOSS_LINE, "Other losses", (flow("storage", "loss|shortage", "*", side="from"),),
    status=MEMORY, note="line 21 or 22",
)  # fmt: skip
_BLANK = Line(
    BLANK_LINE,
    "(blank line)",
    (
        flow("storage", "storage", "reclass", side="from", changes=True),
        flow("storage", "write_in", "other", side="from"),
    ),
    explain=True,
    status=MEMORY,
)

PART = Part(
    "",
    "Storage account",
    kind_columns(wine=True),
    (
        Line("1", "On hand first of month", opening="storage"),
        _in("2", "Deposited in bulk storage",
            flow("production", "storage", "deposit", side="to"),
            flow("other_plant|winery", "storage", "receive", side="to")),
        _in("3", "Received from customs custody",
            flow("customs", "storage", "receive", side="to")),
        _in("4", "Returned to bulk storage",
            flow("redistil|tax_determined|taxpaid", "storage", "return", side="to")),
        _in("5", "(blank line, additions only)",
            flow("gain", "storage", "*", side="to"),
            flow("storage", "storage", "reclass", side="to", changes=True), explain=True),
        Line("6", "Total, lines 1 to 5", sums=numbers(1, 5)),
        _out("7", "Taxpaid", "tax_determined|taxpaid", "remove"),
        _out("8", "Use of the United States", "us", "remove"),
        _out("9", "Hospital, scientific or educational use", "hospital", "remove"),
        _out("10", "Export", "export", "remove"),
        _out("11", "To foreign trade zone", "ftz", "remove"),
        _out("12", "To customs manufacturing bonded warehouse", "cmw", "remove"),
        _out("13", "Supplies on vessels and aircraft", "vessels", "remove"),
        _out("14", "To bonded winery", "winery", "remove"),
        _out("15", "To customs bonded warehouse", "cbw", "remove"),
        _out("16", "Research, development or testing", "research", "sample"),
        _out("17", "Transferred to processing account", "processing", "transfer", status="read"),
        _out("18", "Transferred to production account", "redistil", "redistil", status="read"),
        _out("19", "In bond to other bonded premises", "other_plant", "ship"),
        _out("20", "Destroyed", "destroyed", "destroy"),
        *sorted((_BLANK, _LOSSES), key=lambda line: int(line.number)),
        Line("23", "On hand end of month", closing="storage"),
        Line("24", "Total, lines 7 to 23", sums=numbers(7, 23)),
    ),
    name_other=OTHER,
)  # fmt: skip

STORAGE = Form(
    slug="storage",
    number="TTB F 5110.11",
    title="Storage operations",
    editions=(Edition("not read", date(2010, 1, 1), (PART,)),),
    by_source=True,
    notes=(
        "Column captions b to l are taken from the sister form 5110.40, with wine added; the "
        "unit of the wine column is not settled.",
        "Filled packages stand at the proof gallons they were filled with until they are dumped.",
    ),
)
