"""The cautions that an operation's page shows: at most three lines, or people stop reading."""

from distillery.operations.base import Operation
from distillery.safety import CAUTIONS

MOST = 3


def cautions_of(operation: Operation) -> list[str]:
    """The first lines of each hazard in turn, so that no hazard is crowded out by another."""
    known = [CAUTIONS[code].lines for code in operation.hazards]
    longest = max(map(len, known), default=0)
    in_turn = [lines[place] for place in range(longest) for lines in known if place < len(lines)]
    return in_turn[:MOST]
