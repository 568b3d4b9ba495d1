"""One process that answers: the app on a listening socket, until it is told to stop."""

from __future__ import annotations

import asyncio
import gc
import os
import signal
import socket
import sys
import threading
from collections.abc import Callable
from types import FrameType
from typing import Final

import uvicorn

from app.service.background.budget import stand_aside
from app.service.background.garbage import collect_seldom
from app.service.shelf.front import open_front
from app.serving.process_settings import GRACE_S, Answering
from app.web.app import create_front
from app.web.log import Contained

_SWITCH_S: Final = 0.001
"""How long a thread computes before another may [s]. An answer passes between the loop and a thread three times, and
each time waits so long for a sheet that is being drawn; Python's own 0.005 s are half as long as an answer takes."""


class Answerer:
    """The server of one process; made ready first, so that what cannot work says so before an address is printed.

    Args:
        asked: what it needs.

    Raises:
        StoreError: the data folder or the database cannot be used.
    """

    def __init__(self, asked: Answering) -> None:
        front = open_front(asked.where)
        app = create_front(
            front.shelf, asked.address, key=asked.key, proxies=asked.proxies, log=asked.log, workshop=front.workshop
        )
        if asked.workers > 1:
            stand_aside()
        gc.freeze()
        collect_seldom()
        gc.enable()
        sys.setswitchinterval(_SWITCH_S)
        config = uvicorn.Config(
            Contained(app),
            log_level="warning",
            access_log=False,
            lifespan="off",
            server_header=False,
            proxy_headers=False,  # the app decides itself which proxy to believe
            workers=asked.workers,
            timeout_graceful_shutdown=GRACE_S,
            timeout_notify=0,  # every second, which is as often as it looks
            callback_notify=self._noticed,
        )
        self._pulse: Callable[[], None] = _nothing
        self._saying: asyncio.Future[None] | None = None
        self._server = _Server(config)

    def stop(self) -> None:
        """Take no more requests, finish those that are being answered, and let :meth:`run` return; from any thread."""
        self._server.should_exit = True

    def run(
        self, listener: socket.socket, ready: Callable[[], None] = lambda: None, pulse: Callable[[], None] | None = None
    ) -> None:
        """Answer until stopped, by :meth:`stop`, SIGTERM or Ctrl+C.

        Args:
            listener: the listening socket; closed at the end.
            ready: called once requests are answered.
            pulse: called every second by a thread that the loop which answers asks to, as long as that loop goes round.
        """
        self._pulse = pulse or _nothing
        # The server notes a signal, finishes, and raises the signal again for whoever was there before it.
        # A process that has done what it was asked to has ended well, so here that says nothing more.
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, self._noted)
        self._server.ready = ready
        self._server.run(sockets=[listener])

    async def _noticed(self) -> None:
        # A thread, as whoever listens may be halted: then what is said waits, and those who are answered do not.
        if self._pulse is not _nothing and (self._saying is None or self._saying.done()):
            self._saying = asyncio.get_running_loop().run_in_executor(None, self._pulse)

    def _noted(self, _number: int, _frame: FrameType | None) -> None:
        self.stop()


class _Server(uvicorn.Server):
    ready: Callable[[], None]

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        self.ready()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        # A thread cannot be cancelled: what still computes after the grace would keep the process for as long.
        end = threading.Timer(GRACE_S + 1, _end)
        end.daemon = True
        end.start()
        await super().shutdown(sockets)


def _nothing() -> None:
    """Say nothing: no other process listens."""


def _end() -> None:
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(0)
