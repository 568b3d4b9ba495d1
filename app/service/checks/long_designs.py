"""Which designs are so large that work on them is done in another process."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from app.document.schema import Design
from app.model.printing import Printing

if TYPE_CHECKING:
    from app.model.resolved import ResolvedBoard

_PARTS: Final = 250
"""Placements of one arrangement: with so many a template is made and read back in about a second."""

_HOLES: Final = 1000
"""Holes of one arrangement, likewise; a part of the catalogue has one or a few, one of the builder's own up to 64."""

_SHEETS: Final = 40
"""Sheets of a template, likewise."""

_SHOWN: Final = 0.6
"""Of a sheet, what shows something of the board that no other does."""

_TEXT: Final = 60_000
"""Characters of a document; each placement has 60 at least, and an ordinary design some 10 000 in all."""


def has_many_parts(design: Design) -> bool:
    """Whether some arrangement of a design has more parts, or holes, than are worked on between two pages."""
    holes = {part.id: len(part.cutouts) for part in design.hardware}
    return any(
        len(a.placements) > _PARTS or sum(holes.get(p.part, 1) for p in a.placements) > _HOLES
        for board in design.boards
        for a in board.arrangements
    )


def takes_many_sheets(board: ResolvedBoard, printing: Printing) -> bool:
    """Whether the template of a board is a pack of paper."""
    paper = printing.paper
    return board.width * board.depth_front_to_back > _SHEETS * _SHOWN * paper.width * paper.height


def is_long(document: str) -> bool:
    """Whether a document is longer than any of an ordinary design, told without reading it."""
    return len(document) > _TEXT
