"""The web application: one store, one address, everything served from here."""

from __future__ import annotations

import gc
from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from fastapi import Depends, FastAPI

from app import __version__
from app.service.shelf.shelves import Shelves
from app.web import problems
from app.web.access import Gate
from app.web.assets import add_assets
from app.web.budgets import budgeted
from app.web.compress import Compress
from app.web.disconnects import Readers
from app.web.following import Followed
from app.web.guards import Address, Guard
from app.web.head import HeadAsGet
from app.web.later import Later
from app.web.log import Logged, Routed
from app.web.pages.shelf import front
from app.web.proxies import Proxied

if TYPE_CHECKING:
    from app.service import Workshop


def create_app(
    workshop: Workshop,
    address: Address | None = None,
    *,
    key: str = "",
    proxies: Sequence[str] = (),
    log: bool = False,
) -> FastAPI:
    """The application over ``workshop``.

    Args:
        workshop: the use cases, with the store they work on.
        address: where the server listens; requests for another host are refused.
        key: without which nothing is answered; empty if everybody who can ask may.
        proxies: numbers or networks of the proxies that are believed.
        log: whether each request gets a line on standard error.
    """
    from app.web.rest import add_rest

    app = create_front(workshop.shelf, address, key=key, proxies=proxies, log=log)
    add_rest(app, workshop)
    return app


def create_front(
    shelves: Shelves,
    address: Address | None = None,
    *,
    key: str = "",
    proxies: Sequence[str] = (),
    log: bool = False,
    workshop: Callable[[], Workshop] | None = None,
) -> FastAPI:
    """The application with its first page only, as far as that can be there sooner than the others.

    Args:
        shelves: what the first page shows.
        address: as of :func:`create_app`.
        key: likewise.
        proxies: likewise.
        log: likewise.
        workshop: the use cases of the other pages, which are added with it once the first page is there, or when
            another is asked for; asked by a thread. None if they are added by other means.
    """
    address = address or Address()
    app = FastAPI(
        title="Holewise",
        version=__version__,
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        dependencies=[Depends(budgeted)],
    )
    app.state.shelves = shelves
    problems.install(app)
    app.include_router(front.router)
    add_assets(app)
    # The last one is the first to see a request.
    if workshop is not None:
        app.add_middleware(Later, add=partial(_add_rest, app, workshop))
    app.add_middleware(Followed)
    app.add_middleware(Routed)
    app.add_middleware(Compress)
    app.add_middleware(Readers)
    app.add_middleware(Guard, address=address, refusal=problems.refusal)
    app.add_middleware(HeadAsGet)
    if key:
        app.add_middleware(Gate, key=key, port=address.port)
    app.add_middleware(Logged, lines=log)
    app.add_middleware(Proxied, trusted=tuple(proxies))
    return app


def _add_rest(app: FastAPI, workshop: Callable[[], Workshop]) -> None:
    from app.web.rest import add_rest

    add_rest(app, workshop())
    gc.freeze()  # what is imported stays
