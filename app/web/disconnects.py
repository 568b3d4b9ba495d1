"""Whether the reader of an answer is still there, told while the answer is being worked out."""

from __future__ import annotations

import asyncio
from contextlib import suppress
from typing import Final

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from app.errors import SizeError

KEY: Final = "holewise.reader"
"""Where a request's scope holds its :class:`Incoming`."""

_AHEAD: Final = 16  # messages of a body that are fetched before they are asked for


class Incoming:
    """What comes from a reader: the body, and the news that the connection was closed.

    Args:
        receive: the server's.
    """

    def __init__(self, receive: Receive) -> None:
        self._receive = receive
        self._ahead: asyncio.Queue[Message | Exception] = asyncio.Queue(_AHEAD)
        self._seen = 0
        self.most: int | None = None
        """Largest body [bytes]; None for any."""
        self.gone = False
        """Whether the connection was closed."""

    async def fetch(self) -> None:
        """Fetch what comes, until the connection is closed."""
        while not self.gone:
            try:
                message = await self._receive()
            except Exception as error:  # noqa: BLE001 - told to whoever asks for the body
                await self._ahead.put(error)
                return
            self.gone = message["type"] == "http.disconnect"
            await self._ahead.put(message)

    async def receive(self) -> Message:
        """The next message, for the application.

        Raises:
            SizeError: the body is larger than it may be.
        """
        message = await self._ahead.get()
        if isinstance(message, Exception):
            raise message
        self._seen += len(message.get("body", b""))
        if self.most is not None and self._seen > self.most:
            raise too_large(self.most)
        return message


def too_large(most: int) -> SizeError:
    """The error for a body of more than ``most`` bytes."""
    if most == 0:
        return SizeError("Something was sent to an address that accepts nothing. Nothing was changed.")
    size = f"{most / 1e6:g} MB" if most >= 1_000_000 else f"{most / 1e3:g} kB"
    return SizeError(f"More than {size} was sent; nothing on this page needs that much. Nothing was changed.")


class Readers:
    """Middleware that listens for the end of the connection while the application works.

    Args:
        app: the application behind it.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        incoming = Incoming(receive)
        scope[KEY] = incoming
        fetching = asyncio.create_task(incoming.fetch())
        try:
            await self._app(scope, incoming.receive, send)
        finally:
            fetching.cancel()
            with suppress(asyncio.CancelledError):
                await fetching
