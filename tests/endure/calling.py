"""An application called as a server calls it (ASGI), without a network and without a client's library in between."""

from __future__ import annotations

import asyncio
import traceback
from collections.abc import Coroutine, Iterable
from dataclasses import dataclass, field
from threading import Thread
from typing import Any, TypeVar
from urllib.parse import unquote

from starlette.types import ASGIApp, Message, Receive, Scope, Send

_HOST = ("127.0.0.1", 8642)
_START_S = 60.0

_Found = TypeVar("_Found")


@dataclass
class Called:
    """What an application sent back.

    Args:
        status: of HTTP; 500 if it raised before it began to answer.
        headers: names in small letters, and values.
        data: the body.
        raised: the traceback of what it raised; empty if it raised nothing.
    """

    status: int = 500
    headers: dict[str, str] = field(default_factory=dict)
    data: bytes = b""
    raised: str = ""


class Caller:
    """Runs an application, from its start to its end, in a thread with a loop of its own.

    Args:
        app: the application.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app
        self._loop = asyncio.new_event_loop()
        self._thread = Thread(target=self._loop.run_forever, daemon=True)
        self._thread.start()
        self._told: asyncio.Queue[Message] = asyncio.Queue()
        self._heard: asyncio.Queue[Message] = asyncio.Queue()
        self._life = asyncio.run_coroutine_threadsafe(self._live(), self._loop)
        self._turn("lifespan.startup")

    def call(self, method: str, address: str, headers: Iterable[tuple[str, str]], body: bytes) -> Called:
        """Ask once, and wait for the whole answer."""
        return self._do(self._call(method, address, headers, body))

    def close(self) -> None:
        """End the application and its loop."""
        self._turn("lifespan.shutdown")
        self._life.result(_START_S)
        self._do(self._loop.shutdown_default_executor())
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join()
        self._loop.close()

    def _turn(self, what: str) -> None:
        async def turn() -> Message:
            await self._told.put({"type": what})
            return await self._heard.get()

        said = self._do(turn())
        assert said["type"] == f"{what}.complete", said

    def _do(self, work: Coroutine[Any, Any, _Found]) -> _Found:
        return asyncio.run_coroutine_threadsafe(work, self._loop).result()

    async def _live(self) -> None:
        scope = {"type": "lifespan", "asgi": {"version": "3.0"}, "state": {}}
        await self._app(scope, self._told.get, self._heard.put)

    async def _call(self, method: str, address: str, headers: Iterable[tuple[str, str]], body: bytes) -> Called:
        called, parts, gone = Called(), list[bytes](), asyncio.Event()
        waiting: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

        async def receive() -> Message:
            if not waiting:
                await gone.wait()
                return {"type": "http.disconnect"}
            return waiting.pop()

        async def send(message: Message) -> None:
            if message["type"] == "http.response.start":
                called.status = message["status"]
                called.headers = {name.decode("latin-1"): value.decode("latin-1") for name, value in message["headers"]}
            else:
                parts.append(message.get("body", b""))

        await self._raised(called, _scope(method, address, headers, len(body)), receive, send)
        gone.set()
        called.data = b"".join(parts)
        return called

    async def _raised(self, called: Called, scope: Scope, receive: Receive, send: Send) -> None:
        try:
            await self._app(scope, receive, send)
        except Exception:  # noqa: BLE001 - a server answers 500 and goes on; it is judged by who asked
            called.raised = traceback.format_exc()


def _scope(method: str, address: str, headers: Iterable[tuple[str, str]], length: int) -> Scope:
    path, _, query = address.partition("#")[0].partition("?")
    host, port = _HOST
    sent = [("host", f"{host}:{port}"), ("content-length", str(length)), *headers]
    return {
        "type": "http",
        "asgi": {"version": "3.0", "spec_version": "2.3"},
        "http_version": "1.1",
        "method": method,
        "scheme": "http",
        "path": unquote(path),
        "raw_path": path.encode("utf-8", "replace"),
        "query_string": query.encode("utf-8", "replace"),
        "root_path": "",
        "headers": [(name.lower().encode("latin-1"), value.encode("latin-1", "replace")) for name, value in sent],
        "client": (host, 50_000),
        "server": _HOST,
        "state": {},
    }
