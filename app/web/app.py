"""The web application: one store, one address, everything served from here."""

from __future__ import annotations

from collections.abc import Sequence

from fastapi import Depends, FastAPI

from app import __version__
from app.service import Workshop
from app.web import problems
from app.web.access import Gate
from app.web.assets import add_assets
from app.web.budgets import budgeted
from app.web.compress import Compress
from app.web.guards import Address, Guard
from app.web.head import HeadAsGet
from app.web.log import Logged, Routed
from app.web.proxies import Proxied
from app.web.readers import Readers
from app.web.routes import (
    board,
    board_edit,
    edits,
    files,
    health,
    judged,
    outline,
    paper,
    parts,
    printers,
    room,
    shelf,
    shop,
    stations,
    timeline,
)


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
    address = address or Address()
    app = FastAPI(
        title="Holewise",
        version=__version__,
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        dependencies=[Depends(budgeted)],
    )
    app.state.workshop = workshop
    problems.install(app)
    for routes in (
        shelf,
        board,
        board_edit,
        edits,
        outline,
        parts,
        shop,
        paper,
        printers,
        files,
        timeline,
        stations,
        room,
        judged,
        health,
    ):
        app.include_router(routes.router)
    add_assets(app)
    # The last one is the first to see a request.
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
