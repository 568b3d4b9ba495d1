"""What the app is started with."""

from __future__ import annotations

import os
import re
import secrets
from pathlib import Path
from typing import Final

from msgspec import Struct

from app.errors import HolewiseError

KEY_VARIABLE: Final = "HOLEWISE_KEY"

_KEY: Final = re.compile(r"[A-Za-z0-9._~-]{20,200}")  # what stands in an address as it is (RFC 3986, 2.3)


class Settings(Struct, frozen=True):
    """How to serve.

    Args:
        host: name or number to listen on.
        port: the port; None for the default one or the next that is free.
        where: folder or URL of the database that keeps the designs; None for the user's data folder.
        open_browser: whether to show the first page.
        allow_network: whether others than this computer may be let in, by a link with a key.
        proxies: numbers or networks of the proxies that are believed.
        hosts: further names the app is opened by.
        workers: how many processes answer.
        log: whether each request gets a line on standard error.
    """

    host: str = "127.0.0.1"
    port: int | None = None
    where: Path | str | None = None
    open_browser: bool = True
    allow_network: bool = False
    proxies: tuple[str, ...] = ()
    hosts: tuple[str, ...] = ()
    workers: int = 1
    log: bool = False

    @property
    def others_come(self) -> bool:
        """Whether others may reach the app, by the network or through a proxy."""
        return self.allow_network or bool(self.proxies) or bool(self.hosts)


def key_for(settings: Settings) -> str:
    """The key without which nothing is answered, anew at each start; empty if none is needed.

    A key given by the environment variable ``HOLEWISE_KEY`` is taken as it is, and then always needed.

    Raises:
        HolewiseError: the one given could be guessed, or cannot stand in a link.
    """
    given = os.environ.get(KEY_VARIABLE, "")
    if given and not _KEY.fullmatch(given):
        raise HolewiseError(
            f"{KEY_VARIABLE} must be 20 to 200 letters, digits or - . _ ~ that nobody can guess. "
            "Leave it out to get a new key at each start."
        )
    return given or (secrets.token_urlsafe(32) if settings.others_come else "")
