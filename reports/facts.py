"""What a rule may ask of one side of a flow: the facts of its lot, and the leg's cooperage."""

from collections.abc import Mapping

from ledger.models import Designation
from ledger.totals import Key

ORIGIN, END, PURPOSE, FROM_KIND, TO_KIND, COOPERAGE, TAXED = range(7)
Facts = dict[str, str]
_CLASS_WORDS = frozenset({"whisky", "whiskey", "brandy", "straight"})


def kind_of(type_code: str) -> str:
    """A type as the forms' rows name it: "Straight bourbon whiskey" is bourbon.

    A blend keeps its words: they tell one row of TTB F 5110.28 part IV from another.
    """
    words = type_code.lower().replace("whiskey", "whisky").split()
    if words and words[0].startswith("blend"):
        return " ".join(words)
    return " ".join(word for word in words if word not in _CLASS_WORDS) or " ".join(words)


def facts_of(designation: Designation | None, cooperage: str = "") -> Facts:
    """The facts of a lot as words; ``box`` is the source whose storage report takes it.

    TTB F 5110.11 puts all wines on the domestic report, wherever they come from.
    """
    if designation is None:
        designation = Designation()
    is_wine = designation.class_code == "wine"
    return {
        "class_code": designation.class_code,
        "kind": kind_of(designation.type_code),
        "source": designation.source,
        "box": "domestic" if is_wine else designation.source,
        "form": designation.form,
        "material": designation.material,
        "redistilled": "yes" if designation.redistilled else "no",
        "cooperage": cooperage,
    }


class Reader:
    """Facts of flows and balances, each designation read once."""

    def __init__(self, designations: Mapping[int, Designation]) -> None:
        self._designations = designations
        self._known: dict[tuple[object, str], Facts] = {}

    def of(self, designation: object, cooperage: str = "") -> Facts:
        """The facts of the lot with this designation's key."""
        key = (designation, cooperage)
        if key not in self._known:
            row = self._designations.get(designation)  # type: ignore[call-overload]
            self._known[key] = facts_of(row, cooperage)
        return self._known[key]

    def side(self, key: Key, side: str) -> Facts:
        """The facts on the *side* ("from" or "to") of a flow.

        A boundary side without a lot has none of its own; then the other side tells them.
        """
        near, far = (FROM_KIND, TO_KIND) if side == "from" else (TO_KIND, FROM_KIND)
        designation = key[near] if key[near] is not None else key[far]
        return self.of(designation, str(key[COOPERAGE]))

    def changes(self, key: Key) -> bool:
        """Whether the two lots of a flow fall in different columns or sources."""
        before, after = self.of(key[FROM_KIND]), self.of(key[TO_KIND])
        return any(before[name] != after[name] for name in ("class_code", "source"))
