"""Asking a running program over HTTP, as a browser does; every answer is noted."""

from __future__ import annotations

import http.client
import secrets
import time
from collections.abc import Iterable, Mapping
from urllib.parse import urlencode, urlsplit

from msgspec import Struct

from tests.endure.figures import Figures

PATIENCE_S = 60.0
"""Longest wait for one answer [s]; a machine may be busy with much else, and the time itself is in the figures."""

_IDLE_S = 2.0  # a server may close a connection nobody used for a few seconds

Gone = (OSError, http.client.HTTPException)
"""What is raised when the program went away before it answered."""

Files = Mapping[str, tuple[str, bytes]]


class Answer(Struct, frozen=True):
    """What came back.

    Args:
        status: of HTTP.
        text: its body, read as UTF-8 as far as it goes.
        location: where it leads; empty if nowhere.
    """

    status: int
    text: str
    location: str = ""

    @property
    def design(self) -> str:
        """Id of the design it leads to."""
        return urlsplit(self.location).path.removeprefix("/designs/").partition("/")[0]


class Asker:
    """One window: a connection that is kept, and opened anew when it was closed.

    Args:
        port: of the program, on 127.0.0.1.
        figures: where answers are noted.
    """

    def __init__(self, port: int, figures: Figures) -> None:
        self._line = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)
        self._figures = figures
        self._last = 0.0

    def close(self) -> None:
        """Close the connection."""
        self._line.close()

    def get(self, address: str) -> Answer:
        """Ask for a page or file."""
        return self.ask("GET", address)

    def post(self, address: str, fields: Mapping[str, str] | None = None, files: Files | None = None) -> Answer:
        """Send a form."""
        kind, body = encoded((fields or {}).items(), files or {})
        return self.ask("POST", address, body, {"Content-Type": kind})

    def ask(
        self, method: str, address: str, body: bytes | None = None, headers: Mapping[str, str] | None = None
    ) -> Answer:
        """Ask once.

        Raises:
            OSError, HTTPException: the program went away before it answered.
        """
        if time.monotonic() - self._last > _IDLE_S:
            self._line.close()
        began = time.perf_counter()
        try:
            self._line.request(method, address, body, dict(headers or {}))
            came = self._line.getresponse()
            data = came.read()
        except BaseException:
            self._line.close()
            raise
        self._last = time.monotonic()
        asked = f"{method} {address}"
        self._figures.answered(came.status, time.perf_counter() - began, asked)
        text = data.decode("utf-8", "replace")
        self._figures.hold(
            came.status < 500 or came.status == 503, f"{asked} {(body or b'')[:300]!r}: {came.status} {text[:300]}"
        )
        return Answer(came.status, text, came.headers.get("Location", ""))


def encoded(fields: Iterable[tuple[str, str]], files: Files) -> tuple[str, bytes]:
    """Kind and bytes of a form's body: as a browser sends it, with files as multipart (RFC 7578)."""
    if not files:
        pairs = [(_bytes(name), _bytes(value)) for name, value in fields]
        return "application/x-www-form-urlencoded", urlencode(pairs).encode()
    mark = f"holewise-{secrets.token_hex(8)}"
    parts = [(f'name="{name}"'.encode(), b"", _bytes(value)) for name, value in fields]
    for name, (file, data) in files.items():
        head = f'name="{name}"; filename="'.encode() + _bytes(file).replace(b'"', b"%22") + b'"'
        parts.append((head, b"Content-Type: application/octet-stream\r\n", data))
    body = b"".join(
        b"--%b\r\nContent-Disposition: form-data; %b\r\n%b\r\n%b\r\n" % (mark.encode(), head, kind, value)
        for head, kind, value in parts
    )
    return f"multipart/form-data; boundary={mark}", body + f"--{mark}--\r\n".encode()


def _bytes(text: str) -> bytes:
    # Half a surrogate pair goes out as it is: what a broken sender may send.
    return text.encode("utf-8", "surrogatepass")
