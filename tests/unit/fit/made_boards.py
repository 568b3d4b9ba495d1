"""Boards that makers made, resolved, for what the rules say of them."""

from __future__ import annotations

from dataclasses import replace

from app.arrange.maker.make import make_board
from app.arrange.placement.edit import add
from app.catalogue.load import catalogue
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.resolve import resolve
from app.document.schema import Design
from app.model.maker.measure import Value
from app.model.resolved import ResolvedBoard
from tests.unit.arrange.maker.designs import plain


def made_board(maker: str, vent: int = 0, **measures: Value) -> ResolvedBoard:
    """A board of a maker, its parts labelled by their ids; the deck has a vent of so many holes of 10 mm in a row."""
    edit = make_board(vented(plain(), vent), maker, {k.replace("_", "-"): v for k, v in measures.items()}, catalogue())
    board = resolve(edit.design, edit.board, None, catalogue())
    return board.populated(tuple(replace(p, label=p.id.upper()) for p in board.placements))


def vented(design: Design, holes: int) -> Design:
    """The design with a row of holes in its deck, 20 mm apart, that no maker made."""
    if not holes:
        return design
    boundary = BoundaryEntry(shape="rectangle", width=20.0 * holes, height=12)
    vent = PatternEntry(id="vent", order="square", hole=10, pitch=20, boundary=boundary, middle="hole")
    if holes % 2 == 0:
        raise ValueError("A row with a hole in its middle has an odd number of them.")
    return add(design.model_copy(update={"patterns": (vent,)}), None, None, "vent", 300, 150, catalogue()).design
