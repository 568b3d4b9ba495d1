"""Boards of a design added, copied, put in another order and removed, as changes."""

from __future__ import annotations

from typing import Final

from app.arrange.board.name import rename_board
from app.arrange.change import Edit
from app.arrange.design.boards import add_board, copy_board, move_board, remove_board
from app.catalogue.load import catalogue
from app.document.schema import Design
from app.drafting.words import exact
from app.service.edits.changes import DesignChange
from app.units import INCH, Unit

BLANK: Final = {Unit.MM: (300.0, 200.0), Unit.INCH: (12 * INCH, 8 * INCH)}
"""Width and depth of a blank board where nobody says them [mm]: it is easier to change than to do without."""


def blank_size(unit: Unit) -> tuple[str, str]:
    """Width and depth of a blank board as they are typed."""
    wide, deep = BLANK[unit]
    return exact(wide, unit), exact(deep, unit)


def board_added(unit: Unit, width: float | None = None, depth: float | None = None, name: str = "") -> DesignChange:
    """Add a board with nothing on it; a size that is not said [mm] is the usual one."""
    usual = BLANK[unit]

    def change(design: Design) -> Edit:
        sides = (usual[0] if width is None else width, usual[1] if depth is None else depth)
        return add_board(design, catalogue(), *sides, name)

    return change


def board_copied(board: str) -> DesignChange:
    """Add a copy of a board."""
    return lambda design: copy_board(design, board, catalogue())


def board_renamed(board: str, name: str) -> DesignChange:
    """Give a board another name."""
    return lambda design: rename_board(design, board, name)


def board_moved(board: str, by: int) -> DesignChange:
    """Move a board along the list of boards."""
    return lambda design: move_board(design, board, by)


def board_removed(board: str) -> DesignChange:
    """Remove a board with all that is on it."""
    return lambda design: remove_board(design, board)
