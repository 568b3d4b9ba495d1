"""What a process needs to answer; light to import, so that a process which only watches others begins fast."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from msgspec import Struct

from app.web.guards import Address

GRACE_S: Final = 10
"""How long answers that are being made when a stop is asked for may take [s]."""


class Answering(Struct, frozen=True):
    """What a process needs to answer.

    Args:
        address: where the server listens.
        where: folder or URL of the database that keeps the designs; None for the user's data folder.
        key: without which nothing is answered; empty if none is needed.
        proxies: numbers or networks of the proxies that are believed.
        log: whether each request gets a line on standard error.
        workers: how many processes share the socket.
    """

    address: Address
    where: Path | str | None = None
    key: str = ""
    proxies: tuple[str, ...] = ()
    log: bool = False
    workers: int = 1
