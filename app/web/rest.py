"""All pages but the first, and the workshop they work in."""

from __future__ import annotations

from fastapi import FastAPI

from app.service import Workshop
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


def add_rest(app: FastAPI, workshop: Workshop) -> None:
    """Have an application answer for every page, over ``workshop``."""
    app.state.workshop = workshop
    app.state.shelves = workshop.shelf
    for routes in (
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
    ):
        app.include_router(routes.router)
