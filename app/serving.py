"""Runs the app on this computer: a port, the data folder, the browser."""

from __future__ import annotations

import errno
import gc
import socket
import sys
import threading
import webbrowser
from pathlib import Path
from typing import Final

from app.errors import HolewiseError

DEFAULT_PORT: Final = 8642
"""First port tried; any number from 1024 up would do."""

_PORTS_TRIED: Final = 100
_EVERYWHERE = {"0.0.0.0": "127.0.0.1", "::": "::1"}  # noqa: S104 - compared with, not bound to


def serve(host: str, port: int | None, where: Path | str | None, *, open_browser: bool) -> None:
    """Serve the app until it is interrupted; prints its address first.

    Args:
        host: name or number to listen on.
        port: the port; None for the default one or the next that is free.
        where: folder or URL of the database that keeps the designs; None for the user's data folder.
        open_browser: whether to show the first page.

    Raises:
        HolewiseError: the address cannot be listened on.
        StoreError: the data folder or the database cannot be used.
    """
    listener = listen(host, port)
    with listener:
        taken = listener.getsockname()[1]
        if port is None and taken != DEFAULT_PORT:
            print(f"Port {DEFAULT_PORT} is taken; using {taken}.")
        run(listener, host, taken, where, open_browser=open_browser)


def listen(host: str, port: int | None) -> socket.socket:
    """A socket that listens on ``port`` of ``host``, or, if None, on the default port or the next free one.

    Raises:
        HolewiseError: the port is taken, may not be used, or the host is not this computer.
    """
    if port is not None:
        return _bound(host, port)
    for candidate in range(DEFAULT_PORT, DEFAULT_PORT + _PORTS_TRIED):
        try:
            return _bound(host, candidate)
        except PortTakenError:
            continue
    raise HolewiseError(
        f"The ports {DEFAULT_PORT} to {DEFAULT_PORT + _PORTS_TRIED - 1} of {host} are all taken. "
        "Stop a program that uses one, or name a free port with --port."
    )


class PortTakenError(HolewiseError):
    """Another program listens there."""


def run(listener: socket.socket, host: str, port: int, where: Path | str | None, *, open_browser: bool) -> None:
    """Serve the app on a listening socket until it is interrupted.

    Args:
        listener: the socket.
        host: the host it was asked for by.
        port: the port it listens on.
        where: folder or URL of the database that keeps the designs; None for the user's data folder.
        open_browser: whether to show the first page.
    """
    # What is imported stays: looking through it for garbage, again and again while it grows, is a tenth of the start.
    gc.disable()
    import uvicorn

    from app.service import open_workshop
    from app.web.app import create_app
    from app.web.guards import Address

    app = create_app(open_workshop(where), Address(host, port))
    gc.freeze()
    gc.enable()
    shown = _EVERYWHERE.get(host, host)
    url = f"http://[{shown}]:{port}/" if ":" in shown else f"http://{shown}:{port}/"
    print(f"Holewise is at {url} (Ctrl+C stops it)", flush=True)
    if host in _EVERYWHERE:
        print("Anyone on the network who can reach it can change your designs.", flush=True)
    if open_browser:
        # The socket already listens, so the page waits instead of failing; some browsers block until closed.
        threading.Thread(target=webbrowser.open, args=(url,), daemon=True).start()
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        lifespan="off",
        server_header=False,
        timeout_graceful_shutdown=2,
    )
    uvicorn.Server(config).run(sockets=[listener])


def _bound(host: str, port: int) -> socket.socket:
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(
            host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
    except (OSError, UnicodeError) as error:
        raise HolewiseError(
            f"Host {host!r} is not known ({_reason(error)}). Leave --host out to use this computer only."
        ) from None
    sock = socket.socket(family, kind, protocol)
    try:
        if sys.platform == "win32":
            sock.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:
            sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        sock.bind(address)
        sock.listen(128)
    except OSError as error:
        sock.close()
        raise _refused(host, port, error) from None
    return sock


def _refused(host: str, port: int, error: OSError) -> HolewiseError:
    if error.errno == errno.EADDRINUSE:
        return PortTakenError(
            f"Port {port} of {host} is taken by another program. Name another with --port, "
            "or leave --port out to get the next free one."
        )
    if error.errno == errno.EACCES:
        return HolewiseError(f"Port {port} of {host} may not be used by you. Use a port from 1024 up.")
    return HolewiseError(
        f"Port {port} of {host} cannot be used ({_reason(error)}). Leave --host out to use this computer only."
    )


def _reason(error: Exception) -> str:
    return getattr(error, "strerror", None) or str(error)
