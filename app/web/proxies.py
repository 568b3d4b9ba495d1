"""What a proxy in front says of a request, believed only if it comes from a proxy that was named.

``X-Forwarded-Proto``, ``X-Forwarded-Host`` and ``X-Forwarded-For`` are what proxies in common use send; anybody else
can send them too. So from any other peer they are taken away, with ``X-Request-ID``, before anything can read them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network, ip_address, ip_network
from typing import Final

from starlette.types import ASGIApp, Receive, Scope, Send

Network = IPv4Network | IPv6Network

_PROTO: Final = b"x-forwarded-proto"
_HOST: Final = b"x-forwarded-host"
_FOR: Final = b"x-forwarded-for"
_TOLD: Final = frozenset({_PROTO, _HOST, _FOR, b"forwarded", b"x-forwarded-port", b"x-real-ip", b"x-request-id"})


def from_this_computer(scope: Scope) -> bool:
    """Whether a request comes from this computer itself, not by way of a proxy on it."""
    client = scope.get("client")
    number = _number(client[0]) if client else None
    return number is not None and number.is_loopback


class Proxied:
    """Middleware that makes a request what it was before the proxy, or takes away what only a proxy may say.

    Args:
        app: the application behind it.
        trusted: numbers (``192.168.1.2``) or networks (``10.0.0.0/8``) of the proxies.
    """

    def __init__(self, app: ASGIApp, *, trusted: Sequence[str] = ()) -> None:
        self._app = app
        self._trusted = tuple(ip_network(text, strict=False) for text in trusted)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "http":
            client = scope.get("client")
            believed = client is not None and self._trusts(client[0])
            scope = _as_asked(scope, self._trusts) if believed else _without(scope, _TOLD)
        await self._app(scope, receive, send)

    def _trusts(self, peer: str) -> bool:
        number = _number(peer)
        return number is not None and any(number in network for network in self._trusted)


def _as_asked(scope: Scope, trusts: Callable[[str], bool]) -> Scope:
    """The request as the browser made it, by the word of the nearest proxy."""
    changed = dict(scope)
    proto = _last(scope, _PROTO).lower()
    if proto in {"http", "https"}:
        changed["scheme"] = proto
    host = _last(scope, _HOST)
    if host:
        others = [(name, value) for name, value in scope["headers"] if name != b"host"]
        changed["headers"] = [(b"host", host.encode("latin-1")), *others]
    # Each proxy adds whom it heard at the end, and whoever came first may have begun the list with inventions:
    # the last one that is no proxy of ours is the one that asked.
    way = [hop.strip() for value in _values(scope, _FOR) for hop in value.split(",")]
    asked = next((hop for hop in reversed(way) if not trusts(hop)), "")
    if asked or any(name in _TOLD for name, _ in scope["headers"]):
        changed["client"] = (asked, 0) if asked else None  # handed on for somebody, but for whom is not said
    return changed


def _without(scope: Scope, names: frozenset[bytes]) -> Scope:
    if not any(name in names for name, _ in scope["headers"]):
        return scope
    return {**scope, "headers": [(name, value) for name, value in scope["headers"] if name not in names]}


def _values(scope: Scope, wanted: bytes) -> list[str]:
    return [value.decode("latin-1") for name, value in scope["headers"] if name == wanted]


def _last(scope: Scope, name: bytes) -> str:
    values = _values(scope, name)
    return values[-1].rpartition(",")[2].strip() if values else ""


def _number(text: str) -> IPv4Address | IPv6Address | None:
    try:
        found = ip_address(text)
    except ValueError:
        return None
    return found.ipv4_mapped or found if isinstance(found, IPv6Address) else found
