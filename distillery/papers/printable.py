"""Text for the base fonts of every reader, which know one page of characters."""

# What has a plain spelling in that page.
_SPELLED = str.maketrans(
    {"№": "No.", "−": "-", "≥": ">=", "≤": "<=", "→": "->", "\u2009": " ", "\u202f": " "}
)


def printable(words: str) -> str:
    """*words* in cp1252; what has no spelling there becomes a question mark."""
    return words.translate(_SPELLED).encode("cp1252", "replace").decode("cp1252")
