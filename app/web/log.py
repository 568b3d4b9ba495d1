"""A number for each request, a line for it if that is wanted, and what is written down of a fault.

Nothing of what was sent or what a design holds is ever written: no form, no name, no key, not the address itself but
the pattern of the route that answered it, and of an error its type and place but not its words, which may quote.
"""

from __future__ import annotations

import logging
import re
import secrets
import sys
import time
from asyncio import CancelledError
from contextlib import suppress
from datetime import UTC, datetime
from typing import Final

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from app.web.error_origin import places_of
from app.web.guards import marking
from app.web.htmx import Htmx
from app.web.problems import NOTED, fault

HEADER: Final = "x-request-id"

_FAULTS = logging.getLogger("holewise.web")
_GIVEN: Final = re.compile(r"[A-Za-z0-9._-]{1,64}")


class Logged:
    """Middleware that numbers each request, and makes of an unforeseen error a page and an entry in the log.

    A file that was withheld is an entry too: it has its page already, but it is a fault of ours.

    The number is that of a trusted proxy (:class:`app.web.proxies.Proxied` lets no other through) or made here.

    Args:
        app: the application behind it.
        lines: whether each request gets a line on standard error.
    """

    def __init__(self, app: ASGIApp, *, lines: bool = False) -> None:
        self._app = app
        self._lines = lines

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request.

        Raises:
            Exception: the unforeseen error, after it has been answered and written down; :class:`Contained` ends it.
        """
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        given = Headers(scope=scope).get(HEADER, "")
        number = given if _GIVEN.fullmatch(given) else secrets.token_hex(8)
        answer = _Answer(send, number)
        noted: dict[str, str] = {"number": number}
        scope = {**scope, NOTED: noted}
        method = scope["method"][:16]  # a word of the sender's, of any length
        began = time.perf_counter()
        try:
            await self._app(scope, receive, answer)
        except Exception as error:
            _FAULTS.error("%s fault in %s %s\n%s", number, method, noted.get("route", "-"), places_of(error))
            if not answer.status:
                page = fault(number, Htmx.of(Headers(scope=scope)))
                await page(scope, receive, marking(answer))
            raise
        finally:
            if "withheld" in noted:
                where = noted.get("route", "-")
                _FAULTS.error("%s withheld in %s %s\n%s", number, method, where, noted["withheld"])
            if self._lines:
                took = (time.perf_counter() - began) * 1000
                said = f"{method} {noted.get('route', '-')} {answer.status or '-'} {took:.1f} ms {answer.size} B"
                now = datetime.now(UTC).isoformat(timespec="milliseconds")
                with suppress(OSError):  # whoever reads the log may be gone; answers are given all the same
                    # One piece, so that the lines of several processes do not mix.
                    sys.stderr.write(f"{now} {number} {said}\n")
                    sys.stderr.flush()


class Routed:
    """Middleware next to the routes that tells :class:`Logged` which one answered; those between may copy a request.

    Args:
        app: the routes.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        try:
            await self._app(scope, receive, send)
        finally:
            if NOTED in scope:
                scope[NOTED]["route"] = pattern_of(scope)


class Contained:
    """Ends an unforeseen error that :class:`Logged` has dealt with, so that the server does not write out its words.

    Likewise a request that takes longer than a stop can wait.

    Args:
        app: the whole application.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        with suppress(Exception, CancelledError):  # it is in the log already, or cut off by a stop
            await self._app(scope, receive, send)


class _Answer:
    """A sender that puts the number on an answer and measures it."""

    def __init__(self, send: Send, number: str) -> None:
        self._send = send
        self._number = number
        self.status = 0
        self.size = 0

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.status = message["status"]
            MutableHeaders(scope=message)[HEADER] = self._number
        await self._send(message)
        self.size += len(message.get("body", b""))


def pattern_of(scope: Scope) -> str:
    """The pattern of the route that answered, as ``/designs/{design_id}``, or the folder of a file; ``-`` if none."""
    path = getattr(scope.get("route"), "path", None) or scope.get("root_path")
    return path if isinstance(path, str) and path else "-"
