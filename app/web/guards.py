"""What stands between the network and the app: who may ask, how much they may send, what browsers may do.

The app has no accounts; it trusts the person at this computer, and whoever has the key if others are let in
(:mod:`app.web.access`). So it must not be reachable through a web page such a person happens to visit:

- a ``Host`` that is neither this computer nor a name given at the start is refused (a foreign name pointed at
  127.0.0.1 would otherwise count as same origin: DNS rebinding);
- an unsafe method with a foreign ``Origin``, ``Referer`` or ``Sec-Fetch-Site`` is refused (forged forms);
- every answer carries a strict content security policy (W3C CSP3): nothing inline, nothing from elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable
from http import HTTPStatus
from ipaddress import IPv4Address, IPv6Address, ip_address
from urllib.parse import urlsplit

from msgspec import Struct
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

Refusal = Callable[[int, str, str], ASGIApp]
"""Makes the answer to a refused request from status, title and explanation."""


class Address(Struct, frozen=True):
    """Where the server listens.

    Args:
        host: name or number it listens on.
        port: the port, or None to accept any (tests, a server behind another).
        names: further names of this computer, with that port.
        hosts: names it is opened by through a proxy, as ``NAME`` with any port or ``NAME:PORT``.
    """

    host: str = "127.0.0.1"
    port: int | None = None
    names: tuple[str, ...] = ()
    hosts: tuple[str, ...] = ()

    def accepts(self, host_header: str) -> bool:
        """Whether a ``Host`` header names this server."""
        try:
            split = urlsplit(f"//{host_header}")
            name, port = (split.hostname or "").lower(), split.port
        except ValueError:
            return False
        if not name or split.username is not None or split.path or split.query or split.fragment:
            return False
        if name in self.hosts or (port is not None and f"{name}:{port}" in self.hosts):
            return True
        if self.port is not None and (port if port is not None else 80) != self.port:
            return False
        if name in _LOOPBACK or name == self.host.lower() or name in self.names:
            return True
        # Bound to every interface on purpose: numbers are fine, since only names can be pointed elsewhere.
        number = _number(name)
        return number is not None and (number == _number(self.host) or self._everywhere)

    @property
    def _everywhere(self) -> bool:
        number = _number(self.host)
        return number is not None and number.is_unspecified


def foreign_origin(method: str, headers: Headers, address: Address | None = None, scheme: str = "http") -> str:
    """The foreign place an unsafe request comes from; empty if it comes from our own pages or no browser.

    Args:
        method: of the request.
        headers: of the request.
        address: where the server listens: a page of one of its ``hosts`` is our own, whatever ``Host`` a proxy made.
        scheme: by which it was asked for; a page by plain http is foreign to one by https.
    """
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
        return "" if _same_place(value, headers.get("host", ""), address or Address(), scheme) else value
    return ""


def marking(send: Send) -> Send:
    """A sender that adds to every answer what browsers may do with it."""

    async def marked(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in SECURITY_HEADERS.items():
                headers[name] = value
            headers.setdefault("cache-control", "no-store")
        await send(message)

    return marked


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

        marked = marking(send)
        headers = Headers(scope=scope)
        given, too_large = receive, False
        if "content-length" in headers or "transfer-encoding" in headers:
            try:
                body = await _whole(receive)
            except _GoneError:
                return
            given, too_large = _again(body or b"", receive), body is None
        answer = self._refused(scope["method"], headers, scope.get("scheme", "http"))
        if answer is None and too_large:
            answer = self._too_large()
        await (answer or self._app)(scope, given, marked)

    def _refused(self, method: str, headers: Headers, scheme: str) -> ASGIApp | None:
        host = headers.get("host", "")
        if not self._address.accepts(host):
            return self._refusal(
                HTTPStatus.MISDIRECTED_REQUEST,
                "Unknown address",
                f"Holewise was asked for “{host[:200]}”, which is not one of its names. "
                "Open the address it printed when it started, or start it with --allow-host and that name.",
            )
        origin = foreign_origin(method, headers, self._address, scheme)
        if origin:
            return self._refusal(
                HTTPStatus.FORBIDDEN,
                "Request from another site",
                f"A page from “{origin[:200]}” tried to change something here, so nothing was done. "
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


def _same_place(origin: str, host_header: str, address: Address, scheme: str) -> bool:
    try:
        split = urlsplit(origin)
    except ValueError:
        return False
    place = split.netloc.lower()
    if split.scheme not in {"http", "https"} or (scheme == "https" and split.scheme != "https"):
        return False
    return place == host_header.lower() or place in address.hosts


def _number(name: str) -> IPv4Address | IPv6Address | None:
    """The number a name is, if it is one; one of IPv4 in the spelling of IPv6 as what it is."""
    try:
        found = ip_address(name)
    except ValueError:
        return None
    return found.ipv4_mapped or found if isinstance(found, IPv6Address) else found
