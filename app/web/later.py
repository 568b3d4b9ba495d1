"""The other pages, added once the first is there or when one of them is asked for: what they import is much."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Final

from starlette.types import ASGIApp, Receive, Scope, Send

_PAUSE_S: Final = 0.5
"""From the first page to the others, if nobody asks for one [s]: what the first needs besides itself comes first."""


class Later:
    """Middleware next to the routes, for the one loop of a server.

    Args:
        app: the routes.
        add: adds the other pages; called once, by a thread.
    """

    def __init__(self, app: ASGIApp, add: Callable[[], None]) -> None:
        self._app = app
        self._add = add
        self._adding: asyncio.Future[None] | None = None
        self._pausing = False

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "http" and not _is_first(scope["path"]):
            # Whoever asked and went away ends only the waiting.
            await asyncio.shield(self._added())
        await self._app(scope, receive, send)
        if self._adding is None and not self._pausing:
            self._pausing = True
            asyncio.get_running_loop().call_later(_PAUSE_S, self._added)

    def _added(self) -> asyncio.Future[None]:
        if self._adding is None:
            self._adding = asyncio.get_running_loop().run_in_executor(None, self._add)
        return self._adding


def _is_first(path: str) -> bool:
    return path == "/" or path.startswith("/static/")
