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
from starlette.testclient import TestClient

from app.service.workshop import Workshop
from app.store import Clock, utc_now
from app.store.store import open_store
from app.web.app import create_app
from app.web.guards import Address
from tests.endure.asking import Answer, Files, encoded
from tests.endure.figures import Figures
from tests.pages import Page

LIMIT_S = 30.0
"""Longest an answer may keep a processor busy [s], whatever else the machine has to do."""

_HOST = "127.0.0.1:8642"


class Inside:
    """A window on the application in this process.

    Args:
        app: the application.
        client: what calls it.
        figures: where answers are noted.
    """

    def __init__(self, app: FastAPI, client: TestClient, figures: Figures) -> None:
        self.routes = [route for route in _routes(app) if not route.path.startswith("/static/")]
        self._client, self._figures = client, figures
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
        came = self._client.request(method, address, content=body, headers=dict(headers or {}))
        seconds = time.perf_counter() - began
        asked = f"{method} {address} {(body or b'')[:600]!r}"
        self._figures.answered(came.status_code, seconds, asked)
        busy = time.process_time() - busy
        self._figures.hold(busy < LIMIT_S, f"{asked} kept a processor busy for {busy:.0f} s")
        if came.status_code >= 500:
            self._figures.hold(
                held=False, words=f"{asked}: {came.status_code} {self._faults.last or Page(came.text).words[:900]}"
            )
        return Answer(came.status_code, came.text, came.headers.get("location", ""))

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
    with TestClient(app, base_url=f"http://{_HOST}", follow_redirects=False, raise_server_exceptions=False) as client:
        window = Inside(app, client, figures)
        try:
            yield window
        finally:
            window.close()
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
