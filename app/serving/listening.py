"""The socket the app listens on: which address, which port, and whether others may reach it."""

from __future__ import annotations

import errno
import socket
import sys
from typing import Final

from app.errors import HolewiseError
from app.serving.network import ListenAddress, is_everywhere, is_loopback, resolve

DEFAULT_PORT: Final = 8642
"""First port tried; any number from 1024 up would do."""

_PORTS_TRIED: Final = 100


def listen(host: str, port: int | None, *, allow_network: bool = False) -> socket.socket:
    """A socket that listens on ``port`` of ``host``, or, if None, on the default port or the next free one.

    Args:
        host: name or number, in any spelling.
        port: the port, or None.
        allow_network: whether others than this computer may reach it.

    Raises:
        HolewiseError: the port is taken, may not be used, the host is not this computer, or others could reach it
            and may not.
    """
    if port is not None:
        return _bound(host, port, allow_network=allow_network)
    for candidate in range(DEFAULT_PORT, DEFAULT_PORT + _PORTS_TRIED):
        try:
            return _bound(host, candidate, allow_network=allow_network)
        except PortTakenError:
            continue
    raise HolewiseError(
        f"The ports {DEFAULT_PORT} to {DEFAULT_PORT + _PORTS_TRIED - 1} of {host} are all taken. "
        "Stop a program that uses one, or name a free port with --port."
    )


class PortTakenError(HolewiseError):
    """Another program listens there."""


def _bound(host: str, port: int, *, allow_network: bool) -> socket.socket:
    place = resolve(host, port)
    if not allow_network and not is_loopback(place.number):
        raise HolewiseError(_not_alone(host, place))
    sock = socket.socket(place.family, place.kind, place.protocol)
    try:
        if sys.platform == "win32":
            sock.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:
            sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if place.family == socket.AF_INET6 and is_everywhere(place.number):
            sock.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 0)  # every interface, by IPv4 as well
        sock.bind(place.address)
        sock.listen(128)
    except OSError as error:
        sock.close()
        raise _refused(host, port, error) from None
    return sock


def _not_alone(host: str, place: ListenAddress) -> str:
    meant = "" if host == place.number else f", which is {place.number}"
    return (
        f"Others on the network could reach host {host!r}{meant}. Leave --host out to use this computer only, "
        "or add --allow-network: then whoever has the link that is printed is let in, and nobody else."
    )


def _refused(host: str, port: int, error: OSError) -> HolewiseError:
    if error.errno == errno.EADDRINUSE:
        return PortTakenError(
            f"Port {port} of {host} is taken by another program. Name another with --port, "
            "or leave --port out to get the next free one."
        )
    if error.errno == errno.EACCES:
        return HolewiseError(f"Port {port} of {host} needs rights you do not have. Use a port from 1024 up.")
    return HolewiseError(
        f"Port {port} of {host} cannot be used ({_reason(error)}). Leave --host out to use this computer only."
    )


def _reason(error: Exception) -> str:
    return getattr(error, "strerror", None) or str(error)
