"""The link by which the app is opened, and what is said with it."""

from __future__ import annotations

import re
from urllib.parse import urlencode

from app.serving.network import is_everywhere, own_address
from app.serving.settings import Settings

_NUMBER = re.compile(r"[0-9]+|0x[0-9a-f]*|\*")

KEY_WORD = "key"
"""The word of the link that carries the key."""

HOLD_IT_CLOSE = "Give the link only to people who may change your designs: whoever has it is let in."
PLAIN = (
    "It is plain http: others on the network can read what is sent, the key too. On a network that is not yours alone, "
    "put a proxy with https in front."
)


def link(host: str, port: int, key: str = "") -> str:
    """Address of the first page.

    Args:
        host: name or number.
        port: the port.
        key: the key, if one is needed.
    """
    name = f"[{host}]" if ":" in host else host
    return f"http://{name}:{port}/{_asked(key)}"


def links(settings: Settings, number: str, port: int, key: str) -> tuple[str, str]:
    """The link to print, for everybody who may come, and the one to open on this computer.

    Args:
        settings: what the app was started with.
        number: the address it listens on.
        port: its port.
        key: the key, or empty.
    """
    if is_everywhere(number):
        return link(own_address(), port, key), link("::1" if ":" in number else "127.0.0.1", port, key)
    printed = link(typed_name(settings.host) or number, port, key)
    return printed, printed


def typed_name(host: str) -> str:
    """What was typed, if it is a name; empty for a number in any spelling (WHATWG URL, "ends in a number")."""
    last = host.rstrip(".").rpartition(".")[2].lower()
    return "" if ":" in host or not last or _NUMBER.fullmatch(last) else host.lower()


def proxied(settings: Settings, key: str) -> str:
    """The link through the proxy in front, if one and a name for it are given; empty otherwise."""
    return f"https://{settings.hosts[0]}/{_asked(key)}" if settings.proxies and settings.hosts else ""


def _asked(key: str) -> str:
    return f"?{urlencode({KEY_WORD: key})}" if key else ""
