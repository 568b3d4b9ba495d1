"""Who may ask at all, where others than this computer can reach the app: whoever has the key.

The key comes once, in the link that is printed at the start; the answer puts it into a cookie and sends the browser
on to the same address without it, so that nobody bookmarks it or passes it on unawares. Without it nothing is
answered, whatever it is.

A browser that followed the link from another site, a web mail for instance, does not send a ``SameSite=Strict`` cookie
with the request it is sent on to. So a second cookie, which says nothing but that, comes along for a moment; where it
comes alone, the refusal asks the browser to load the page once more, and that request is our own.
"""

from __future__ import annotations

import secrets
from typing import Final
from urllib.parse import parse_qsl, quote, urlencode

from starlette.datastructures import Headers
from starlette.requests import cookie_parser
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from app.web.guards import marking
from app.web.proxies import from_this_computer

WORD: Final = "key"
"""The word of the link that carries the key."""

_MOMENT_S: Final = 10
_OPEN_TO_THIS_COMPUTER: Final = frozenset({"/health", "/ready"})
_REFUSED: Final = """<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>A key is needed</title></head>
<body><h1>A key is needed</h1><p>Open the link that was printed when the program was started.</p></body>
</html>
"""


class Gate:
    """Middleware that answers nobody without the key.

    Args:
        app: the application behind it.
        key: the key.
        port: the port listened on; names the cookie, since browsers send the cookies of one port to every other.
    """

    def __init__(self, app: ASGIApp, *, key: str, port: int | None) -> None:
        self._app = app
        self._key = key.encode()
        self._cookie = f"holewise-{port or 'key'}"
        self._came = f"{self._cookie}-came"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        came = self._cookies(scope)
        answer = self._brings_the_key(scope)
        if answer is None:
            if self._fits(came.get(self._cookie, "")) or self._open(scope):
                await self._app(scope, receive, send)
                return
            answer = self._refused(again=self._came in came and scope["method"] == "GET")
        await answer(scope, receive, marking(send))

    def _fits(self, given: str) -> bool:
        return secrets.compare_digest(given.encode("utf-8", "replace"), self._key)

    def _open(self, scope: Scope) -> bool:
        return scope["path"] in _OPEN_TO_THIS_COMPUTER and from_this_computer(scope)

    def _brings_the_key(self, scope: Scope) -> Response | None:
        """The way on for a request with the key in its address; None for any other."""
        if scope["method"] not in {"GET", "HEAD"}:
            return None
        asked = parse_qsl(scope["query_string"].decode("latin-1"), keep_blank_values=True)
        if not any(self._fits(value) for name, value in asked if name == WORD):
            return None
        rest = urlencode([(name, value) for name, value in asked if name != WORD])
        path = "/" + quote(scope["path"].lstrip("/\\"))  # two slashes would begin the name of another site
        answer = RedirectResponse(f"{path}?{rest}" if rest else path, 303)
        safe = scope.get("scheme") == "https"
        answer.set_cookie(self._cookie, self._key.decode(), httponly=True, samesite="strict", secure=safe)
        answer.set_cookie(self._came, "1", max_age=_MOMENT_S, httponly=True, samesite="lax", secure=safe)
        return answer

    def _refused(self, *, again: bool) -> Response:
        # A scheme is asked for by RFC 9110, 15.5.2; browsers know none of this name and ask for no password.
        answer = HTMLResponse(_REFUSED, 401, {"WWW-Authenticate": "Link"})
        if again:
            answer.headers["refresh"] = "0"
            answer.delete_cookie(self._came)
        return answer

    @staticmethod
    def _cookies(scope: Scope) -> dict[str, str]:
        found: dict[str, str] = {}
        for header in Headers(scope=scope).getlist("cookie"):
            found |= cookie_parser(header)
        return found
