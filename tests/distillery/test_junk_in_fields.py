"""Junk in every field of every operation: a sentence beside the field, and nothing is written.

Free text takes any words (common practice, no source); what names a thing of the plant, a
quantity, a moment or one of a few words takes none of these.
"""

from random import Random

import pytest

from distillery.forms import CodeField, Part, RowsField, TextField, YesField
from distillery.forms.barrels_field import BarrelsField, CodesField
from distillery.forms.parts import PartField
from distillery.models import Material, Product
from distillery.operations import operations
from distillery.recording import ENVELOPE, Asked, Refused, post, prepare
from ledger.models import Descent, Entry, Holding, Lot, Movement, Premises, Vessel
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.posting import record
from ledger.writing import Act
from tests.distillery.sequences.acts import make
from tests.distillery.sequences.now import Now
from tests.distillery.sequences.plant import begun
from tests.distillery.sequences.playing import rolled_back

pytestmark = pytest.mark.django_db
AT = "2026-01-10 10:00"
# No field that is not free text takes any of these; ELSE-1 is another plant's.
NONSENSE = ({"lb": 3}, ["x"], "☃ many", "NO-SUCH", "ELSE-1", "-", "9" * 60, "1e400 gal", "x" * 5000)
# These some fields take; where one is wrong, it gets its sentence.
ODD = ("-5", "0", "NaN", "999999999", True, 7.5, None, "", {}, [], [[]], [None], [{}], {"x": {}},
       *NONSENSE)  # fmt: skip


@pytest.fixture
def world():
    """The begun plant, and another that has a vessel, a lot, a material and a product."""
    made = begun()
    other = Premises.objects.create(registry="DSP-XX-00009", name="Elsewhere (invented)")
    Vessel.objects.create(premises=other, code="ELSE-1", kind="tank")
    Material.objects.create(premises=other, code="ELSE-1", name="Corn", kind="grain", unit="lb")
    Product.objects.create(premises=other, code="ELSE-1", name="Gin", family="gin", label_proof=90,
                           bottle_ml=750, per_case=12)  # fmt: skip
    to = Place("storage", "ELSE-1", "ELSE-1")
    plan = Plan((Leg(Place("opening", "ELSE-1"), to, "opening", 0, 100, 100),),
                (NewLot("ELSE-1", "spirits", "pg", "Rum", class_code="rum"),))  # fmt: skip
    act = Act("test", made.when(AT), "ada", "else", "{}")
    record(lambda look: plan, premises=other, act=act)
    return made


def book():
    """Everything that a refused record must leave alone."""
    tables = (Entry, Movement, Lot, Holding, Descent)
    return [list(table.objects.order_by("pk").values()) for table in tables]


def good_record(world, slug):
    """A plausible record of *slug* over the begun plant."""
    made = (make(slug, Now(world, Random(seed), AT, seed)) for seed in range(30))
    fields = next((one for one in made if one is not None), {})
    return {"operation": slug, "at": AT, "key": "junk", "reason": "tried", **fields}


def is_typed(field):
    """Whether the field takes something narrower than words."""
    if isinstance(field, CodesField) and not isinstance(field, BarrelsField):
        return False
    return not isinstance(field, TextField | CodeField)


def wrong_in(field, value):
    """Nonsense for one field: in each box of its rows or part, if it has some."""
    if not isinstance(field, PartField):
        return value
    inside = dict.fromkeys(field.part.base_fields, value)
    return [inside] if isinstance(field, RowsField) else inside


def untold(form, errors):
    """Typed fields, and boxes inside them, that no sentence stands beside."""
    for name, field in form.base_fields.items():
        if not is_typed(field):
            continue
        told = " ".join(errors.get(name, ()))
        if not told:
            yield name
        if isinstance(field, PartField):
            part: type[Part] = field.part
            for inner, box in part.base_fields.items():
                if is_typed(box) and not isinstance(box, PartField):
                    label = part()[inner].label
                    if f"{label}: " not in told:
                        yield f"{name}-{inner}"


def test_no_field_bears_a_name_that_the_record_itself_uses():
    """Else what is meant for the one is read as the other."""
    for slug, operation in operations().items():
        assert set(operation.form.base_fields) & set(ENVELOPE) == set(), slug


@pytest.mark.parametrize("value", NONSENSE, ids=[str(value)[:10] for value in NONSENSE])
def test_nonsense_in_all_fields_gets_a_sentence_beside_each(world, value):
    missed, before = {}, book()
    for slug, operation in operations().items():
        fields = {
            name: wrong_in(field, value) for name, field in operation.form.base_fields.items()
        }
        data = {"operation": slug, "key": "junk", "reason": "tried", **fields}
        with pytest.raises(Refused) as refused:
            prepare(data, premises=world.premises, user=world.owner)
        if names := list(untold(operation.form, refused.value.errors)):
            missed[slug] = names
    assert missed == {}
    assert book() == before


def answered(world, data):
    """The sentences the record is answered with; none when it is taken, and that is undone."""
    with rolled_back():
        try:
            post(prepare(data, premises=world.premises, user=world.owner))
        except Asked as asked:
            return [question.text for question in asked.plan.questions]
        except Refused as refused:
            return [text for texts in refused.errors.values() for text in texts]
    return []


def spoilt(base, form):
    """*base* with one thing spoilt at a time, each odd value in its turn."""
    turn = 0
    for name, field in form.base_fields.items():
        boxes = [""]
        rows = base.get(name)
        if isinstance(field, PartField) and rows:
            boxes += field.part.base_fields
        for box in boxes:
            value = ODD[turn % len(ODD)]
            turn += 1
            if box:
                row = rows[0] if isinstance(rows, list) else rows
                value = {**row, box: value}
                value = [value, *rows[1:]] if isinstance(rows, list) else value
            yield name, box, {**base, name: value}


def test_one_odd_value_in_a_good_record_is_taken_or_told_in_sentences(world):
    before, unlike = book(), []
    for slug, operation in operations().items():
        base = good_record(world, slug)
        for name, box, data in spoilt(base, operation.form):
            for text in answered(world, data):
                if not text.rstrip().endswith((".", "?", "…")):
                    unlike.append((slug, name, box, text))
    assert unlike == []
    assert book() == before


@pytest.mark.parametrize(
    ("said", "taken"),
    [(True, True), ("yes", True), ("on", True), ("1", True), (False, False), ("no", False),
     ("false", False), ("", False), (None, False)],
)  # fmt: skip
def test_a_declaration_is_read_from_yes_or_no_alone(said, taken):
    class Said(Part):
        box = YesField()

    part = Said({"box": said})
    assert part.is_valid()
    assert part.cleaned_data["box"] is taken
    assert not Said({"box": "perhaps"}).is_valid()
