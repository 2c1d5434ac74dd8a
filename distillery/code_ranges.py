"""Codes named together: ``B-101..B-112, B-120``."""

import re

MOST = 500
_NUMBERED = re.compile(r"(.*?)(\d{1,8})", re.ASCII | re.DOTALL)


def codes_of(text: str) -> list[str]:
    """The codes that *text* names, in its order. Raises ValueError with a sentence.

    A comma parts them; two codes that end in numbers with two dots between are a range, and the
    zeros before a number are kept: ``BR-008..BR-011``.
    """
    codes: list[str] = []
    for part in text.split(","):
        first, dots, last = (piece.strip() for piece in part.partition(".."))
        if not first:
            raise ValueError("A code is missing. Name them like B-101..B-112, B-120.")
        codes += _range(first, last) if dots else [first]
        if len(codes) > MOST:
            raise ValueError(f"At most {MOST} go into one record.")
    twice = next((code for code in codes if codes.count(code) > 1), "")
    if twice:
        raise ValueError(f"{twice} stands here twice.")
    return codes


def _range(first: str, last: str) -> list[str]:
    start, end = _NUMBERED.fullmatch(first), _NUMBERED.fullmatch(last)
    if not (start and end) or start[1] != end[1]:
        raise ValueError(f"“{first}..{last}” is no range. Write it like B-101..B-112.")
    low, high = int(start[2]), int(end[2])
    if not low <= high < low + MOST:
        raise ValueError(f"“{first}..{last}” runs backwards, or is longer than {MOST}.")
    return [f"{start[1]}{number:0{len(start[2])}}" for number in range(low, high + 1)]
