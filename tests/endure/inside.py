"""The application asked without a network in between: for very many inputs."""

from __future__ import annotations

import logging
import re
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

from fastapi import FastAPI
from fastapi.routing import APIRoute

from app.service.workshop import Workshop
from app.store import Clock, utc_now
from app.store.store import open_store
from app.web.app import create_app
from app.web.guards import Address
from tests.endure.asking import Answer, Files, encoded
from tests.endure.calling import Caller
from tests.endure.figures import Figures
from tests.reading.pages import Page

LIMIT_S = 30.0
"""Longest an answer may keep a processor busy [s], whatever else the machine has to do."""


_STOPPED = "That took too long"
"""What a page says of work that was ended with the time or the memory it may take."""


class Inside:
    """A window on the application in this process.

    Args:
        app: the application.
        caller: what calls it.
        figures: where answers are noted.
    """

    def __init__(self, app: FastAPI, caller: Caller, figures: Figures) -> None:
        routes = [route for route in _routes(app) if not route.path.startswith("/static/")]
        # Of two that take an address the one that says more of it: ``photo`` before ``{verb}``, ``{maker}.svg`` before
        # ``{maker}``.
        self.routes = sorted(routes, key=lambda route: (route.path.count("{"), -len(route.path)))
        self._caller, self._figures = caller, figures
        self._faults = _Faults()
        logging.getLogger().addHandler(self._faults)

    def close(self) -> None:
        """Stop listening to the log."""
        logging.getLogger().removeHandler(self._faults)

    def get(self, address: str) -> Answer:
        """Ask for a page or file."""
        return self.ask("GET", address)

    def post(self, address: str, fields: Mapping[str, str] | None = None, files: Files | None = None) -> Answer:
        """Send a form."""
        kind, body = encoded((fields or {}).items(), files or {})
        return self.ask("POST", address, body, {"content-type": kind})

    def ask(
        self, method: str, address: str, body: bytes | None = None, headers: Mapping[str, str] | None = None
    ) -> Answer:
        """Ask once; an answer of 500 or one that came too late is a broken promise."""
        self._faults.last = ""
        began, busy = time.perf_counter(), time.process_time()
        came = self._caller.call(method, address, (headers or {}).items(), body or b"")
        seconds, busy = time.perf_counter() - began, time.process_time() - busy
        asked = f"{method} {address} {(body or b'')[:600]!r}"
        text = came.data.decode("utf-8", "replace")
        self._figures.answered(came.status, seconds, asked)
        hold = self._figures.hold
        hold(busy < LIMIT_S, f"{asked} kept a processor busy for {busy:.0f} s")
        fault = came.raised[-900:] or self._faults.last
        if came.status == 503 and _STOPPED in text:
            self._figures.count("answers stopped by their budget")
        elif came.status >= 500:
            hold(held=False, words=f"{asked}: {came.status} {fault or Page(text).words[:900]}")
        else:
            hold(not fault, f"{asked}: answered {came.status}, but a fault was logged: {fault}")
        return Answer(came.status, text, came.headers.get("location", ""))

    def route_of(self, method: str, address: str) -> str:
        """The route that takes an address, with the verb it names: ``POST /designs/{design_id}/edit/title``."""
        path = urlsplit(address).path
        for route in self.routes:
            if method in (route.methods or ()) and (found := route.path_regex.match(path)):
                return f"{method} {route.path.replace('{verb}', found.groupdict().get('verb', ''))}"
        return ""


@contextmanager
def inside(where: Path | str, figures: Figures, clock: Clock = utc_now) -> Iterator[Inside]:
    """The application over a place, in this process."""
    workshop = Workshop(open_store(where, clock))
    app = create_app(workshop, Address("127.0.0.1", 8642))
    caller = Caller(app)
    window = Inside(app, caller, figures)
    try:
        yield window
    finally:
        window.close()
        caller.close()
        workshop.close()


class _Faults(logging.Handler):
    """The last traceback that was logged, in one line."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.last = ""

    def emit(self, record: logging.LogRecord) -> None:
        """Keep the end of it."""
        said = self.format(record)
        self.last = re.sub(r"\s+", " ", said[-700:])


def _routes(app: FastAPI) -> Iterator[APIRoute]:
    waiting = list(app.routes)
    while waiting:
        route = waiting.pop()
        if isinstance(route, APIRoute):
            yield route
        else:
            waiting += getattr(getattr(route, "original_router", None), "routes", [])
