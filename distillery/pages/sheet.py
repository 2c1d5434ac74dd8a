"""A record's form as boxes to draw: each with its label, value, unit, list and what is wrong."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from django import forms
from django.forms.boundfield import BoundField

from distillery.forms import QuantityField, RecordForm, WhenField, YesField
from distillery.forms.gauge import GaugePart
from distillery.forms.parts import Part, PartField, RowsField
from distillery.pages.offers import Offers, Option
from distillery.shown_in import below_zero, shown_in

REQUIRED = str(forms.Field.default_error_messages["required"])
UNIT_SIGNS = {"F": "°F", "C": "°C"}
SPARE = 3  # empty rows below those filled in
LONG_TEXTS = frozenset({"note", "reason"})
AMOUNT, ITS_UNIT = "quantity", "its unit"  # of a material, bare in the unit it is counted in
NUMBERS = frozenset({"ph", "rinse_ph", "density", "dip", "sight"})  # without units to choose

# A gauge is read in two goes: how much, by one of three ways, and how strong.
GAUGE_GROUPS = (
    ("How much: by volume", ("volume", "temperature")),
    ("or by weight", ("gross", "tare", "net")),
    ("How strong: the proof, or a hydrometer reading", ("proof",)),
    ("", ("reading", "reading_temperature", "obscuration")),
)
# The other ways and what only some gauges have stand folded below.
FOLDED_GROUPS = (
    ("How much: by the depth in a tank", ("tank", "dip", "sight")),
    ("by meter", ("meter_start", "meter_end")),
    ("by full bottles", ("product", "cases", "loose_bottles", "label")),
    (
        "How strong: by density or gravity, or found before",
        ("density", "density_at", "gravity", "carried"),
    ),
    ("Solids", ("solids", "restored")),
    ("Read with", ("hydrometer", "thermometer", "density_meter", "scale", "meter")),
    ("Reasons", ("why_not_weighed", "override")),
)


class Group(NamedTuple):
    """Boxes side by side under a title; folded away until asked for, or *is_open* with them."""

    title: str
    boxes: list["Box"]
    is_folded: bool = False
    is_open: bool = False


@dataclass
class Box:
    """One thing to fill in. ``kind`` chooses the partial: line, quantity, list, tick, when,
    text, part or rows."""

    kind: str
    name: str
    id: str
    label: str
    value: Any = ""
    hint: str = ""
    unit: str = ""
    measure: str = ""  # kind of quantity, of which the units to choose from follow
    prefer: str = ""  # the unit chosen first, where the plant reads in another than the base
    below_zero: str = ""  # the units in which it may be below zero
    is_optional: bool = False
    errors: list[str] = field(default_factory=list)
    options: list[Option] = field(default_factory=list)
    rows: list[list[Group]] = field(default_factory=list)

    @property
    def inner(self) -> Iterable["Box"]:
        """The boxes inside a part or rows."""
        return (box for row in self.rows for group in row for box in group.boxes)

    @property
    def described_by(self) -> str:
        """Ids of the hint and of the sentence that says what is wrong."""
        ids = [f"{self.id}-hint"] if self.hint else []
        return " ".join(ids + ([f"{self.id}-wrong"] if self.errors else []))

    def problems(self) -> list[tuple[str, str]]:
        """(id to go to, sentence) of all that is wrong here and inside."""
        here = [(self.id, f"{self.label}: {sentence}") for sentence in self.errors]
        return here + [pair for box in self.inner for pair in box.problems()]


class Sheet:
    """The boxes of *form*; *errors* by field name, None to say nothing of what is wrong yet."""

    def __init__(
        self,
        form: RecordForm,
        offers: Offers,
        errors: dict[str, list[str]] | None = None,
        *,
        spare: int = SPARE,
    ) -> None:
        self.offers, self.errors, self.spare = offers, errors, spare
        self._shown = shown_in(offers.premises)
        self.boxes = [self._box(bound, (errors or {}).get(bound.name, [])) for bound in form]

    def problems(self) -> list[tuple[str, str]]:
        """(id, sentence) for the summary at the top of the page."""
        return [pair for box in self.boxes for pair in box.problems()]

    def has(self, name: str) -> bool:
        """Whether a box of that name stands on the page."""
        return any(box.name == name for box in self.boxes)

    def _box(self, bound: BoundField, errors: list[str], prefix: str = "") -> Box:
        name = f"{prefix}{bound.name}"
        box = Box(
            _kind(bound), name, f"id_{name}", str(bound.label), hint=str(bound.field.help_text),
            unit=_unit(bound), measure=_measure(bound),
            prefer=self._shown.sign(_measure(bound)), below_zero=_below_zero(bound),
            is_optional=not bound.field.required,
        )  # fmt: skip
        if isinstance(bound.field, PartField):
            return self._part(box, bound, errors)
        value = bound.value()
        box.value = bool(value) if box.kind == "tick" else _text(value)
        options = self.offers.of(bound.field)
        if options is not None:
            if not prefix:
                box.value = box.value or _only_choice(bound, options)
            box.kind, box.options = "list", _with_value(options, box.value)
        box.errors = [_plainly(sentence, box.kind) for sentence in errors]
        return box

    def _part(self, box: Box, bound: BoundField, errors: list[str]) -> Box:
        widget = bound.field.widget
        if box.kind == "rows":
            # A row with a gauge is tall: one at first, and a few where more are asked for.
            widget.spare = self.spare // (3 if issubclass(widget.part, GaugePart) else 1)
        box.rows = [
            self._groups(part, f"{box.name}-{index}-" if box.kind == "rows" else f"{box.name}-")
            for index, part in enumerate(widget.parts(bound.value()))
        ]
        box.errors = _own(errors, box)
        return box

    def _groups(self, part: Part, prefix: str) -> list[Group]:
        shown = part.errors if self.errors is not None and part.is_bound else {}
        boxes = {b.name: self._box(b, [*map(str, shown.get(b.name, []))], prefix) for b in part}
        if not isinstance(part, GaugePart):
            return [Group("", list(boxes.values()))]
        for name in GaugePart.base_fields:
            boxes[name].is_optional = False  # one of several ways is needed, the titles say which
        grouped = [Group(title, _out_of(boxes, names)) for title, names in GAUGE_GROUPS]
        folded = [(title, _out_of(boxes, names)) for title, names in FOLDED_GROUPS]
        is_open = any(box.value or box.errors for _, inside in folded for box in inside)
        grouped += [Group(title, inside, True, is_open) for title, inside in folded]
        return [Group("", list(boxes.values())), *grouped] if boxes else grouped


def _out_of(boxes: dict[str, Box], names: Iterable[str]) -> list[Box]:
    """The boxes of *names*, taken out of *boxes*."""
    return [boxes.pop(name) for name in names if name in boxes]


def _kind(bound: BoundField) -> str:
    match bound.field:
        case RowsField():
            return "rows"
        case PartField():
            return "part"
        case QuantityField() | forms.IntegerField():  # a DecimalField is one too
            return "quantity"
        case YesField():
            return "tick"
        case WhenField():
            return "when"
    if bound.name in NUMBERS or bound.name == AMOUNT:
        return "quantity"
    return "text" if bound.name in LONG_TEXTS else "line"


def _plainly(sentence: str, kind: str) -> str:
    """What to do, for a box left empty."""
    if sentence != REQUIRED:
        return sentence
    return "Choose one of the list." if kind == "list" else "Fill this in."


def _unit(bound: BoundField) -> str:
    if isinstance(bound.field, QuantityField):
        return UNIT_SIGNS.get(bound.field.base_unit, bound.field.base_unit)
    return ITS_UNIT if bound.name == AMOUNT else ""


def _measure(bound: BoundField) -> str:
    if isinstance(bound.field, QuantityField):
        return str(bound.field.kind)
    return "amount" if bound.name == AMOUNT else ""


def _below_zero(bound: BoundField) -> str:
    return below_zero(bound.field.kind) if isinstance(bound.field, QuantityField) else ""


def _text(value: Any) -> str:
    return "" if value is None else str(value)


def _only_choice(bound: BoundField, options: list[Option]) -> str:
    """What a form that is begun must say anyhow; inside a row or a gauge nothing is chosen."""
    codes = [code for code, _ in options if code]
    must = bound.field.required and not bound.form.is_bound
    return codes[0] if must and len(codes) == 1 else ""


def _with_value(options: list[Option], value: str) -> list[Option]:
    """*options* led by an empty one where nothing is chosen, and with an unknown value kept."""
    known = {code for code, _ in options}
    kept = [(value, value)] if value and value not in known else []
    empty = [] if "" in known else [("", "Choose")]
    return [*empty, *kept, *options]


def _own(errors: list[str], box: Box) -> list[str]:
    """The sentences of a part that are not told beside a box inside it."""
    told = [sentence for inner in box.inner for sentence in inner.errors]
    if told:
        told.append(REQUIRED)
    rest = [text for text in errors if not any(text.endswith(one) for one in told)]
    return [_plainly(text, box.kind) for text in rest]
