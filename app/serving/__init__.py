"""Runs the app: an address, a key if others may come, the browser, one process or several."""

from __future__ import annotations

import gc
import signal
import socket
import threading
import webbrowser
from collections.abc import Callable
from types import FrameType
from typing import TYPE_CHECKING

from app.serving.link import HOLD_IT_CLOSE, PLAIN, links, proxied, typed_name
from app.serving.listening import DEFAULT_PORT, listen
from app.serving.network import is_everywhere, is_loopback, own_names
from app.serving.settings import Settings, key_for

if TYPE_CHECKING:
    from app.serving.process_settings import Answering

__all__ = ["Settings", "serve"]


def serve(settings: Settings) -> None:
    """Serve the app until it is told to stop; prints its address first.

    Args:
        settings: what it is started with.

    Raises:
        HolewiseError: the address cannot be listened on, or others could reach it and may not.
        StoreError: the data folder or the database cannot be used.
    """
    before = signal.signal(signal.SIGTERM, _interrupt)
    try:
        key = key_for(settings)
        listener = listen(settings.host, settings.port, allow_network=settings.allow_network)
        with listener:
            taken = listener.getsockname()[1]
            if settings.port is None and taken != DEFAULT_PORT:
                print(f"Port {DEFAULT_PORT} is taken; using {taken}.")
            run(listener, settings, key)
    finally:
        signal.signal(signal.SIGTERM, before)


def run(listener: socket.socket, settings: Settings, key: str) -> None:
    """Serve the app on a listening socket until it is told to stop.

    Args:
        listener: the socket.
        settings: what the app was started with.
        key: without which nothing is answered; empty if none is needed.
    """
    # What is imported stays: looking through it for garbage, again and again while it grows, is a tenth of the start.
    gc.disable()
    from app.serving.process_settings import Answering
    from app.web.guards import Address

    number, port = listener.getsockname()[:2]
    typed = typed_name(settings.host)
    names = (*((typed,) if typed else ()), *(own_names() if is_everywhere(number) else ()))
    address = Address(number, port, names, settings.hosts)
    asked = Answering(address, settings.where, key, settings.proxies, settings.log, settings.workers)
    if settings.workers > 1:
        _run_several(listener, asked, lambda: _welcome(settings, number, port, key))
        return
    from app.serving.answering import Answerer

    answerer = Answerer(asked)
    _welcome(settings, number, port, key)
    answerer.run(listener)


def _run_several(listener: socket.socket, asked: Answering, ready: Callable[[], None]) -> None:
    from app.service import open_workshop
    from app.serving.workers import AnswerProcesses

    # What is wrong with it is said once, and what it needs is made before they all begin.
    open_workshop(asked.where).close()
    gc.enable()
    AnswerProcesses(asked, listener).run(ready)


def _welcome(settings: Settings, number: str, port: int, key: str) -> None:
    printed, here = links(settings, number, port, key)
    print(f"Holewise is at {printed} (Ctrl+C stops it)", flush=True)
    if settings.allow_network and is_loopback(number) and not settings.proxies:
        print("Only this computer can open that. For others on the network, add --host 0.0.0.0.", flush=True)
    through = proxied(settings, key)
    if through:
        print(f"Through the proxy it is at {through}", flush=True)
    if key:
        print(HOLD_IT_CLOSE if through or not settings.others_come else f"{HOLD_IT_CLOSE} {PLAIN}", flush=True)
    if settings.open_browser:
        # The socket already listens, so the page waits instead of failing; some browsers block until closed.
        threading.Thread(target=webbrowser.open, args=(here,), daemon=True).start()


def _interrupt(_number: int, _frame: FrameType | None) -> None:
    """While the app is being started, a request to stop is Ctrl+C."""
    raise KeyboardInterrupt
