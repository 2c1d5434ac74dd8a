"""Words of a drawing cut to the width of their place, by measure and not by count of letters.

The width is that of Helvetica (its metrics come with reportlab) and some more, for the tablet
draws with its own letters, which run wider: our own figures, measured against DejaVu Sans, the
widest we met.
"""

from reportlab.pdfbase.pdfmetrics import stringWidth

WIDER, WIDER_BOLD = 1.15, 1.25
MORE = "…"


def width_of(text: str, size: int, *, bold: bool = False) -> float:
    """How wide *text* may run at *size*, in the same unit."""
    face, wider = ("Helvetica-Bold", WIDER_BOLD) if bold else ("Helvetica", WIDER)
    return float(stringWidth(text, face, size)) * wider


def cut(text: str, room: float, size: int, *, bold: bool = False) -> str:
    """*text*, or as much of it as fits *room* with a mark that there is more."""
    if width_of(text, size, bold=bold) <= room:
        return text
    while text and width_of(text + MORE, size, bold=bold) > room:
        text = text[:-1]
    return text.rstrip(" ,:") + MORE


def wrapped(text: str, room: float, size: int, *, lines: int) -> tuple[str, ...]:
    """*text* on at most *lines* lines, broken between words; the last one is cut if it must."""
    found: list[str] = []
    words = text.split()
    while words and len(found) < lines - 1:
        line = words.pop(0)
        while words and width_of(f"{line} {words[0]}", size) <= room:
            line = f"{line} {words.pop(0)}"
        found.append(cut(line, room, size))
    if words:
        found.append(cut(" ".join(words), room, size))
    return tuple(found)
