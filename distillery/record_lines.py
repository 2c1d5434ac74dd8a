"""A file of records, one JSON object a line: read line by line, however long the file is."""

from collections.abc import Iterator
from hashlib import sha256
from json import JSONDecodeError, dumps, loads
from typing import Any, BinaryIO, NoReturn

LONGEST = 1024 * 1024  # bytes of one line
BYTE_ORDER_MARK = b"\xef\xbb\xbf"


class BadLine(ValueError):
    """A line that is no record; the text is the sentence for the person."""


def lines(stream: BinaryIO) -> Iterator[tuple[int, bytes | None]]:
    """(number, line) for each line that is not blank; None in place of one longer than LONGEST.

    A longer line is passed over piece by piece and never held whole.
    """
    number = 0
    while piece := stream.readline(LONGEST + 1):
        number += 1
        if len(piece) > LONGEST and not piece.endswith(b"\n"):
            while piece and not piece.endswith(b"\n"):
                piece = stream.readline(LONGEST)
            yield number, None
            continue
        line = piece.removeprefix(BYTE_ORDER_MARK) if number == 1 else piece
        if line.strip():
            yield number, line


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, value in pairs:
        if name in found:
            raise BadLine(f"“{name}” stands twice in one object. Keep one.")
        found[name] = value
    return found


def _no_number(word: str) -> NoReturn:
    raise BadLine(f"{word} is not a quantity. Give a number.")


def parse(line: bytes | None) -> dict[str, Any]:
    """The record of a line, numbers kept as the text they were written in.

    Raises BadLine with one sentence, or RecursionError for what is nested too deep.
    """
    if line is None:
        raise BadLine("The line is longer than 1 MB. One line is one record.")
    try:
        text = line.decode()
    except UnicodeDecodeError as error:
        raise BadLine(f"Byte {error.start + 1} is not UTF-8. Save the file as UTF-8.") from error
    try:
        data = loads(
            text, parse_float=str, parse_int=str, parse_constant=_no_number,
            object_pairs_hook=_once,
        )  # fmt: skip
    except JSONDecodeError as error:
        raise BadLine(f"Not JSON at character {error.colno}: {error.msg.lower()}.") from error
    if not isinstance(data, dict):
        raise BadLine("A record is a JSON object with an operation and its fields.")
    return data


def with_key(data: dict[str, Any]) -> dict[str, Any]:
    """*data* with a key: its own, or one made from its content, so that a file runs twice.

    Two lines of the same content and without keys are one record.
    """
    if data.get("key"):
        return data
    content = dumps(data, sort_keys=True, separators=(",", ":"))
    return {**data, "key": f"line-{sha256(content.encode()).hexdigest()[:32]}"}


def printable(text: str) -> str:
    """*text* for a terminal: what cannot be printed is shown as its escape."""
    return "".join(
        character if character.isprintable() else character.encode("unicode_escape").decode()
        for character in text
    )
