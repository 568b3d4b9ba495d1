"""The web application: one store, one address, everything served from here."""

from __future__ import annotations

from fastapi import Depends, FastAPI

from app import __version__
from app.service import Workshop
from app.web import problems
from app.web.assets import add_assets
from app.web.budgets import budgeted
from app.web.guards import Address, Guard
from app.web.readers import Readers
from app.web.routes import (
    board,
    board_edit,
    edits,
    files,
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


def create_app(workshop: Workshop, address: Address | None = None) -> FastAPI:
    """The application over ``workshop``.

    Args:
        workshop: the use cases, with the store they work on.
        address: where the server listens; requests for another host are refused.
    """
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
    ):
        app.include_router(routes.router)
    add_assets(app)
    app.add_middleware(Readers)
    app.add_middleware(Guard, address=address or Address(), refusal=problems.refusal)
    return app
