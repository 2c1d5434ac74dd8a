"""QR codes of the plant's things: the address each leads to, and the drawing on a screen.

ISO/IEC 18004. Never Micro QR, which the camera of a telephone does not read.
"""

from urllib.parse import quote

import segno
from django.conf import settings
from django.http import HttpRequest
from django.utils.safestring import SafeString, mark_safe

QUIET = 4  # modules of clear space around it, ISO/IEC 18004


def address_of(request: HttpRequest, code: str) -> str:
    """Where the code on a thing leads: the setting's host, else the one that is asked."""
    path = f"/at/{quote(code, safe=':/')}/"
    base: str = settings.PUBLIC_ADDRESS
    return base.rstrip("/") + path if base else request.build_absolute_uri(path)


def modules(text: str) -> list[list[bool]]:
    """The rows of dark modules of *text*, without the clear space; a sixth may be damaged."""
    code = segno.make(text, micro=False, error="m", boost_error=False)
    return [[bool(cell) for cell in row] for row in code.matrix]


def runs(text: str) -> list[tuple[int, int, int]]:
    """Dark runs of *text* as (row, first column, length), for a drawing with few marks."""
    found = []
    for number, row in enumerate(modules(text)):
        column = 0
        while column < len(row):
            length = 0
            while column + length < len(row) and row[column + length]:
                length += 1
            if length:
                found.append((number, column, length))
            column += length or 1
    return found


def drawn(text: str, *, title: str) -> SafeString:
    """An SVG of *text*, black on white in every theme, without style or script."""
    side = len(modules(text)) + 2 * QUIET
    path = "".join(
        f"M{column + QUIET} {row + QUIET}h{length}v1h-{length}z"
        for row, column, length in runs(text)
    )
    told = title.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")
    return mark_safe(  # noqa: S308 - numbers, and a title escaped here
        f'<svg class="qr" viewBox="0 0 {side} {side}" role="img" aria-label="{told}">'
        f'<rect width="{side}" height="{side}" fill="#fff"/><path fill="#000" d="{path}"/></svg>'
    )
