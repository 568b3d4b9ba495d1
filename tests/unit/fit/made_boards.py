"""Boards that makers made, resolved, for what the rules say of them."""

from __future__ import annotations

from app.arrange.change import Edit
from app.arrange.maker.make import make_board
from app.arrange.placement.edit import add
from app.catalogue.load import catalogue
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.resolve import resolve
from app.document.schema import Design
from app.fit.report.report import Report
from app.model.maker.measure import Value
from app.model.resolved import ResolvedBoard
from app.service.checks.checking import judged
from app.units import Unit
from app.values import replace
from tests.unit.arrange.maker.designs import plain


def made_design(maker: str, vent: int = 0, **measures: Value) -> Edit:
    """A design with a board of a maker, which is the edit's; the deck has a vent of so many holes of 10 mm in a row."""
    return make_board(vented(plain(), vent), maker, {k.replace("_", "-"): v for k, v in measures.items()}, catalogue())


def report_of(design: Design, board: str | None, unit: Unit = Unit.MM) -> Report:
    """What is found on a board of a design, where other measures of its makers can be tried."""
    resolved = replace(resolve(design, board, None, catalogue()), units=unit.value)
    return judged(resolved, design).report


def made_report(maker: str, unit: Unit = Unit.MM, vent: int = 0, **measures: Value) -> Report:
    """The same of a board of a maker."""
    edit = made_design(maker, vent, **measures)
    return report_of(edit.design, edit.board, unit)


def made_board(maker: str, vent: int = 0, **measures: Value) -> ResolvedBoard:
    """Such a board by itself, its parts labelled by their ids."""
    edit = made_design(maker, vent, **measures)
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
