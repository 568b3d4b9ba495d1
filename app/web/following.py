"""htmx is given the page that a form leads to at once, instead of being told to ask for it.

Whoever sends a form without scripts is told where to look (303), so that loading anew does nothing twice. htmx would
ask for that at once, and may come to another process, which knows nothing of the new revision yet.
"""

from __future__ import annotations

from typing import Final
from urllib.parse import unquote

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from app.service.background.computing import begun
from app.service.background.one_answer import one_answer
from app.web.htmx import Htmx

_OF_THE_FORM: Final = frozenset({b"content-length", b"content-type", b"transfer-encoding"})


class Followed:
    """Middleware that follows where a form of htmx leads, on this server, one step.

    Args:
        app: the application behind it.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        with one_answer():
            if scope["type"] != "http" or scope["method"] != "POST" or not Htmx.of(Headers(scope=scope)).wants_block:
                await self._app(scope, receive, send)
            else:
                await self._followed(scope, receive, send)

    async def _followed(self, scope: Scope, receive: Receive, send: Send) -> None:
        asked = dict(scope)  # as it came: routes note in it what they found
        answer = _Answer(send)
        await self._app(scope, receive, answer)
        if answer.onward:
            begun()
            await self._app(_going(asked, answer.onward), receive, _telling(send, answer.onward))


class _Answer:
    """A sender that keeps back an answer which only says where to look, on this server.

    Attributes:
        onward: where; empty if it says anything else.
    """

    def __init__(self, send: Send) -> None:
        self._send = send
        self.onward = ""

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start" and message["status"] == 303:
            where = Headers(raw=message["headers"]).get("location", "")
            self.onward = where if where.startswith("/") and not where.startswith("//") else ""
        if not self.onward:
            await self._send(message)


def _going(asked: Scope, where: str) -> Scope:
    """What a browser would ask for next."""
    path, _, query = where.partition("#")[0].partition("?")
    headers = [(name, value) for name, value in asked["headers"] if name not in _OF_THE_FORM]
    here = {"path": unquote(path), "raw_path": path.encode("ascii"), "query_string": query.encode("ascii")}
    return {**asked, **here, "method": "GET", "headers": headers}


def _telling(send: Send, where: str) -> Send:
    """A sender that says which address the page is at; one that shows no page says nothing of it."""

    async def telling(message: Message) -> None:
        if message["type"] == "http.response.start" and message["status"] == 200:
            MutableHeaders(scope=message)["HX-Replace-Url"] = where
        await send(message)

    return telling
