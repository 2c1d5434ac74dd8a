"""The States as the postal service writes them, and how a person's words become one.

The two letters are those of USPS Publication 28, appendix B (from memory).
"""

from string import ascii_letters

_LINES = """
AL Alabama|AK Alaska|AZ Arizona|AR Arkansas|CA California|CO Colorado|CT Connecticut|DE Delaware
DC District of Columbia|FL Florida|GA Georgia|HI Hawaii|ID Idaho|IL Illinois|IN Indiana|IA Iowa
KS Kansas|KY Kentucky|LA Louisiana|ME Maine|MD Maryland|MA Massachusetts|MI Michigan|MN Minnesota
MS Mississippi|MO Missouri|MT Montana|NE Nebraska|NV Nevada|NH New Hampshire|NJ New Jersey
NM New Mexico|NY New York|NC North Carolina|ND North Dakota|OH Ohio|OK Oklahoma|OR Oregon
PA Pennsylvania|PR Puerto Rico|RI Rhode Island|SC South Carolina|SD South Dakota|TN Tennessee
TX Texas|UT Utah|VT Vermont|VA Virginia|WA Washington|WV West Virginia|WI Wisconsin|WY Wyoming
"""
NAMES = {
    row[:2]: row[3:] for line in _LINES.strip().splitlines() for row in line.strip().split("|")
}
CHOICES = sorted(NAMES.items(), key=lambda pair: pair[1])
_BY_NAME = {name.lower(): code for code, name in NAMES.items()}


def state_of(text: str) -> str:
    """The two letters of the State in *text*; the text itself where it is none that is known.

    ``"ca"``, ``"C.A."`` and ``"California"`` are all ``"CA"``; ``"Kalifornia"`` stays as typed.
    """
    words = " ".join(text.split())
    letters = "".join(letter for letter in words if letter in ascii_letters).upper()
    if len(letters) == 2 and letters in NAMES:
        return letters
    return _BY_NAME.get(words.lower().rstrip("."), words)


def name_of(state: str) -> str:
    """The name of a State by its two letters; other words as they are."""
    return NAMES.get(state, state)
