"""What stands between the network and the app: who may ask, how much they may send, what browsers may do.

The app has no accounts; it trusts the person at this computer. So it must not be reachable through a web
page that person happens to visit:

- a ``Host`` that is not this computer is refused (a foreign name pointed at 127.0.0.1 would otherwise count
  as same origin: DNS rebinding);
- an unsafe method with a foreign ``Origin``, ``Referer`` or ``Sec-Fetch-Site`` is refused (forged forms);
- every answer carries a strict content security policy (W3C CSP3): nothing inline, nothing from elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from http import HTTPStatus
from ipaddress import ip_address
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

CONTENT_SECURITY_POLICY = "; ".join(
    [
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    ]
)

SECURITY_HEADERS = {
    "content-security-policy": CONTENT_SECURITY_POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    # Nothing goes to other sites. "no-referrer" would also make browsers send "Origin: null" with our own
    # forms, and then an honest form could not be told from a forged one where Sec-Fetch-Site is missing.
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
}

BODY_LIMIT = 10 * 1000 * 1000
"""Largest request body [bytes]: 10 MB, many times any design."""

_DRAIN_LIMIT = 20 * BODY_LIMIT  # bytes: so much is thrown away before the answer; who sends more is no browser
_SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
_LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1"})
_WILDCARDS = frozenset({"0.0.0.0", "::"})  # noqa: S104 - compared with, not bound to

Refusal = Callable[[int, str, str], ASGIApp]
"""Makes the answer to a refused request from status, title and explanation."""


@dataclass(frozen=True, slots=True)
class Address:
    """Where the server listens.

    Args:
        host: name or number given to ``--host``.
        port: the port, or None to accept any (tests, a server behind another).
    """

    host: str = "127.0.0.1"
    port: int | None = None

    def accepts(self, host_header: str) -> bool:
        """Whether a ``Host`` header names this server."""
        try:
            split = urlsplit(f"//{host_header}")
            name, port = (split.hostname or "").lower(), split.port
        except ValueError:
            return False
        if not name or split.username is not None or split.path or split.query or split.fragment:
            return False
        if self.port is not None and (port if port is not None else 80) != self.port:
            return False
        if name in _LOOPBACK or name == self.host.lower():
            return True
        # Bound to every interface on purpose: numbers are fine, since only names can be pointed elsewhere.
        return self.host in _WILDCARDS and _is_number(name)


def foreign_origin(method: str, headers: Headers) -> str:
    """The foreign place an unsafe request comes from; empty if it comes from our own pages or no browser."""
    if method in _SAFE_METHODS:
        return ""
    site = headers.get("sec-fetch-site", "")
    if site and site not in {"same-origin", "none"}:
        return headers.get("origin") or f"a {site} page"
    for name in ("origin", "referer"):
        value = headers.get(name)
        if value is None:
            continue
        if value == "null" and site == "same-origin":
            return ""
        return "" if _same_place(value, headers.get("host", "")) else value
    return ""


class Guard:
    """Middleware that refuses what must not come in and marks what goes out.

    Args:
        app: the application behind it.
        address: where the server listens.
        refusal: makes the page for a refused request.
    """

    def __init__(self, app: ASGIApp, *, address: Address, refusal: Refusal) -> None:
        self._app = app
        self._address = address
        self._refusal = refusal

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return

        async def marked(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in SECURITY_HEADERS.items():
                    headers[name] = value
                headers.setdefault("cache-control", "no-store")
            await send(message)

        headers = Headers(scope=scope)
        given, too_large = receive, False
        if "content-length" in headers or "transfer-encoding" in headers:
            try:
                body = await _whole(receive)
            except _GoneError:
                return
            given, too_large = _again(body or b"", receive), body is None
        answer = self._refused(scope["method"], headers)
        if answer is None and too_large:
            answer = self._too_large()
        await (answer or self._app)(scope, given, marked)

    def _refused(self, method: str, headers: Headers) -> ASGIApp | None:
        host = headers.get("host", "")
        if not self._address.accepts(host):
            return self._refusal(
                HTTPStatus.MISDIRECTED_REQUEST,
                "This address is not mine",
                f"Holewise answers on this computer only, and was asked for “{host[:200]}”. "
                "Open the address it printed when it started.",
            )
        origin = foreign_origin(method, headers)
        if origin:
            return self._refusal(
                HTTPStatus.FORBIDDEN,
                "Asked by another site",
                f"A page of “{origin[:200]}” tried to change something here, so nothing was done. "
                "If that was you, open Holewise itself and do it there.",
            )
        return None

    def _too_large(self) -> ASGIApp:
        return self._refusal(
            HTTPStatus.REQUEST_ENTITY_TOO_LARGE,
            "That file is too large",
            f"More than {BODY_LIMIT // 1_000_000} MB was sent; a design is a few kilobytes of text. "
            "Nothing was changed. Choose the design file: it ends in .json.",
        )


class _GoneError(Exception):
    """Whoever asked is gone, in the middle of asking."""


async def _whole(receive: Receive) -> bytes | None:
    """The body of a request; None if it is more than may come in, with or without a length that says so.

    It is read before anything is answered, whether or not the answer needs it: a browser that is still sending when
    the connection closes shows no page at all.

    Raises:
        _GoneError: it will never be whole.
    """
    pieces: list[bytes] = []
    seen, more = 0, True
    while more and seen < _DRAIN_LIMIT:
        message = await receive()
        if message["type"] != "http.request":
            raise _GoneError
        piece, more = message.get("body", b""), message.get("more_body", False)
        seen += len(piece)
        if seen <= BODY_LIMIT:
            pieces.append(piece)
        else:
            pieces.clear()
    return b"".join(pieces) if seen <= BODY_LIMIT else None


def _again(body: bytes, receive: Receive) -> Receive:
    """A receiver that gives a body that was read already, and then what comes after it."""
    waiting: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

    async def given() -> Message:
        return waiting.pop() if waiting else await receive()

    return given


def _same_place(origin: str, host_header: str) -> bool:
    try:
        split = urlsplit(origin)
    except ValueError:
        return False
    return split.scheme in {"http", "https"} and split.netloc.lower() == host_header.lower()


def _is_number(name: str) -> bool:
    try:
        ip_address(name)
    except ValueError:
        return False
    return True
