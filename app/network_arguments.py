"""The options of the command line about who may reach the app, through what, and how many processes answer."""

from __future__ import annotations

import argparse
import os
import re
from ipaddress import ip_network
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from pathlib import Path

    from app.serving.settings import Settings

LOG_VARIABLE: Final = "HOLEWISE_LOG"

_MOST_WORKERS: Final = 64
_NAME: Final = re.compile(r"[a-z0-9_-]+(\.[a-z0-9_-]+)*\.?(:\d{1,5})?")


def add_network(parser: argparse.ArgumentParser) -> None:
    """Add the options to the command that serves."""
    parser.add_argument("--allow-network", action="store_true", help="let others in, by a link with a key")
    parser.add_argument(
        "--trusted-proxy", type=proxy_of, action="append", default=[], metavar="ADDRESS",
        help="believe what a proxy at this address or network says of a request; repeat for several",
    )  # fmt: skip
    parser.add_argument(
        "--allow-host", type=name_of, action="append", default=[], metavar="NAME",
        help="a name the app is opened by, through a proxy; repeat for several",
    )  # fmt: skip
    parser.add_argument(
        "--workers", type=workers_of, default=1, metavar="N", help="number of processes that answer (1)"
    )
    parser.add_argument("--log", action="store_true", help="a line for each request on standard error")


def settings_of(arguments: argparse.Namespace, where: Path | str | None) -> Settings:
    """What to start the app with, over the designs at ``where``."""
    from app.serving.settings import Settings

    return Settings(
        host=arguments.host,
        port=arguments.port,
        where=where,
        open_browser=not arguments.no_open,
        allow_network=arguments.allow_network,
        proxies=tuple(arguments.trusted_proxy),
        hosts=tuple(arguments.allow_host),
        workers=arguments.workers,
        log=arguments.log or os.environ.get(LOG_VARIABLE, "") not in {"", "0"},
    )


def proxy_of(text: str) -> str:
    """The number of a proxy, or a network it is in.

    Raises:
        argparse.ArgumentTypeError: it is neither.
    """
    try:
        return str(ip_network(text, strict=False))
    except ValueError:
        raise argparse.ArgumentTypeError(
            f"{text!r} is not the address of a proxy: a number like 192.168.1.2 or a network like 10.0.0.0/8 is needed"
        ) from None


def name_of(text: str) -> str:
    """A name the app is opened by, with a port or without, in lower case.

    Raises:
        argparse.ArgumentTypeError: it is none.
    """
    name = text.lower()
    if not _NAME.fullmatch(name):
        raise argparse.ArgumentTypeError(f"{text!r} is not a name: write it like deck.example or deck.example:8443")
    return name


def workers_of(text: str) -> int:
    """How many processes answer.

    Raises:
        argparse.ArgumentTypeError: it is no number of processes.
    """
    count = int(text) if text.isascii() and text.isdigit() else 0
    if not 1 <= count <= _MOST_WORKERS:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number of processes: 1 to {_MOST_WORKERS}")
    return count
