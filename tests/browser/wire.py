"""A wire between a browser and the live server that can be cut: what bad Wi-Fi does, for real."""

import re
import socket
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from threading import Lock, Thread
from urllib.parse import urlsplit

LENGTH = re.compile(rb"(?i)\r\ncontent-length: *(\d+)")


class Wire:
    """Carries bytes both ways at its own address; `cut` ends every connection and takes no new."""

    def __init__(self, server_url: str) -> None:
        parts = urlsplit(server_url)
        self.server = (parts.hostname, parts.port)
        self.listening = socket.create_server(("localhost", 0))
        self.url = f"http://localhost:{self.listening.getsockname()[1]}"
        self.is_cut = False
        self.last: tuple[bytes, int] | None = None
        self.ends: set[socket.socket] = set()
        self.lock = Lock()
        Thread(target=self._take, daemon=True).start()

    def cut(self) -> None:
        """From now on nothing gets through."""
        self.is_cut = True
        with self.lock:
            ends, self.ends = self.ends, set()
        for end in ends:
            _close(end)

    def mend(self) -> None:
        """From now on it carries again."""
        self.last, self.is_cut = None, False

    def cut_after(self, request: bytes, times: int) -> None:
        """Cut as the *times*-th of *request* is on its way: it arrives, its answer does not.

        A browser may send head and body apart; the cut waits for the last byte of both.
        """
        self.last = (request, times)

    def end(self) -> None:
        """Close the address too."""
        self.cut()
        self.listening.close()

    def _take(self) -> None:
        with suppress(OSError):
            while True:
                near, _ = self.listening.accept()
                if self.is_cut:
                    _close(near)
                    continue
                far = socket.create_connection(self.server)
                with self.lock:
                    self.ends |= {near, far}
                Thread(target=self._carry, args=(near, far, True), daemon=True).start()
                Thread(target=self._carry, args=(far, near, False), daemon=True).start()

    def _carry(self, here: socket.socket, there: socket.socket, is_asking: bool) -> None:
        with suppress(OSError):
            while piece := here.recv(65536):
                is_last = is_asking and self._is_last(piece)
                there.sendall(piece)
                if is_last:
                    _carry_rest(piece, here, there)
                    self.cut()
        _close(here)
        _close(there)

    def _is_last(self, piece: bytes) -> bool:
        with self.lock:
            if self.last is None or self.last[0] not in piece:
                return False
            request, left = self.last
            self.last = (request, left - 1)
            return left == 1


def _carry_rest(sent: bytes, here: socket.socket, there: socket.socket) -> None:
    """What is left of the request that *sent* begins: its head, and its body by the length told."""
    while b"\r\n\r\n" not in sent:
        sent += _carry_piece(here, there)
    head, _, body = sent.partition(b"\r\n\r\n")
    told = LENGTH.search(head)
    left = int(told[1]) - len(body) if told else 0
    while left > 0:
        left -= len(_carry_piece(here, there))


def _carry_piece(here: socket.socket, there: socket.socket) -> bytes:
    piece = here.recv(65536)
    if not piece:
        raise OSError("it ended half-way")
    there.sendall(piece)
    return piece


def _close(end: socket.socket) -> None:
    with suppress(OSError):
        end.shutdown(socket.SHUT_RDWR)
    with suppress(OSError):
        end.close()


@contextmanager
def wired(server_url: str) -> Iterator[Wire]:
    """A wire to *server_url* for the length of a test."""
    wire = Wire(server_url)
    try:
        yield wire
    finally:
        wire.end()
