"""All pages but the first, and the workshop they work in."""

from __future__ import annotations

from fastapi import FastAPI

from app.service import Workshop
from app.web.pages import files, health
from app.web.pages.at_board import route as at_board
from app.web.pages.bench import route as bench
from app.web.pages.board import edits
from app.web.pages.board import route as board
from app.web.pages.board_edit import route as board_edit
from app.web.pages.boards import route as boards
from app.web.pages.bring import route as bring
from app.web.pages.built import route as built
from app.web.pages.compare import route as compare
from app.web.pages.coupon import route as coupon
from app.web.pages.judged import route as judged
from app.web.pages.legends import route as legends
from app.web.pages.make import route as make
from app.web.pages.marking import route as marking
from app.web.pages.outline import route as outline
from app.web.pages.pack import route as pack
from app.web.pages.paper import route as paper
from app.web.pages.part import route as parts
from app.web.pages.pattern import route as patterns
from app.web.pages.printer import route as printers
from app.web.pages.report import route as report
from app.web.pages.retrofit import route as retrofit
from app.web.pages.revisions import route as revisions
from app.web.pages.room import route as room
from app.web.pages.shelf import route as shelf
from app.web.pages.shop import route as shop
from app.web.pages.stations import route as stations
from app.web.pages.steps import route as steps
from app.web.pages.timeline import route as timeline
from app.web.pages.wiring import route as wiring


def add_rest(app: FastAPI, workshop: Workshop) -> None:
    """Have an application answer for every page, over ``workshop``."""
    app.state.workshop = workshop
    app.state.shelves = workshop.shelf
    for routes in (
        at_board,
        bench,
        board,
        board_edit,
        boards,
        bring,
        built,
        compare,
        coupon,
        edits,
        files,
        health,
        judged,
        legends,
        make,
        marking,
        outline,
        pack,
        paper,
        parts,
        patterns,
        printers,
        report,
        retrofit,
        revisions,
        room,
        shelf,
        shop,
        stations,
        steps,
        timeline,
        wiring,
    ):
        app.include_router(routes.router)
