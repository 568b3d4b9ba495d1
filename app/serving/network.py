"""Who can reach an address: this computer alone, or others too.

What was typed is resolved first and the number that comes of it is judged, since one address has many spellings:
``0``, ``0x0``, ``::0`` and ``::ffff:0.0.0.0`` all mean every interface, as ``0.0.0.0`` does.
"""

from __future__ import annotations

import socket
from ipaddress import IPv4Address, IPv6Address, ip_address
from typing import Final

from msgspec import Struct

from app.errors import HolewiseError

_ELSEWHERE: Final = ("192.0.2.1", 9)
"""An address that belongs to nobody (RFC 5737), by which the computer chooses the interface it would use."""


class ListenAddress(Struct, frozen=True):
    """A resolved address to listen on.

    Args:
        family, kind, protocol: as the socket takes them.
        address: as ``bind`` takes it.
    """

    family: int
    kind: int
    protocol: int
    address: tuple[str, int] | tuple[str, int, int, int]

    @property
    def number(self) -> str:
        """The number of the address in its shortest spelling."""
        return str(_plain(self.address[0]))


def resolve(host: str, port: int) -> ListenAddress:
    """The address that ``host`` means.

    Args:
        host: name or number.
        port: the port.

    Raises:
        HolewiseError: the host is not known.
    """
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(
            host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
    except (OSError, UnicodeError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise HolewiseError(
            f"Host {host!r} is not known ({reason}). Leave --host out to use this computer only."
        ) from None
    return ListenAddress(family, kind, protocol, address)  # type: ignore[arg-type]


def is_loopback(number: str) -> bool:
    """Whether only this computer reaches an address: 127.0.0.0/8 and ::1 (RFC 1122, RFC 4291)."""
    return _plain(number).is_loopback


def is_everywhere(number: str) -> bool:
    """Whether an address stands for every interface: 0.0.0.0 and ::."""
    return _plain(number).is_unspecified


def own_address() -> str:
    """An address of this computer that others on its network can open: a number, or its name if there is none."""
    try:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            probe.connect(_ELSEWHERE)  # nothing is sent: the computer only says what it would send from
            found = str(probe.getsockname()[0])
    except OSError:
        return socket.gethostname()
    return socket.gethostname() if is_loopback(found) or is_everywhere(found) else found


def own_names() -> tuple[str, ...]:
    """The names others on the network may know this computer by."""
    name = socket.gethostname().lower()
    return (name,) if "." in name else (name, f"{name}.local")


def _plain(number: str) -> IPv4Address | IPv6Address:
    """An address; one of IPv4 in the spelling of IPv6 (RFC 4291, 2.5.5.2) as what it is."""
    found = ip_address(number)
    return found.ipv4_mapped or found if isinstance(found, IPv6Address) else found
