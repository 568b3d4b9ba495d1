"""Arrangements of a board added, renamed and removed, as changes."""

from __future__ import annotations

from app.arrange.change import Edit
from app.arrange.design.arrangements import add_arrangement, remove_arrangement, rename_arrangement
from app.document.resolve import find_arrangement, find_board
from app.document.schema import Design
from app.document.where import Where
from app.service.edits.changes import DesignChange


def arrangement_added(where: Where, *, blank: bool) -> DesignChange:
    """One more arrangement: blank, or a copy of the one in view."""

    def change(design: Design) -> Edit:
        present = find_arrangement(find_board(design, where.board), where.arrangement)
        return add_arrangement(design, where.board, None if blank else present.id)

    return change


def arrangement_renamed(where: Where, name: str) -> DesignChange:
    """Give the arrangement in view another name."""
    return lambda design: rename_arrangement(design, where.board, where.arrangement, name)


def arrangement_removed(where: Where) -> DesignChange:
    """Remove the arrangement in view."""
    return lambda design: remove_arrangement(design, where.board, where.arrangement)
