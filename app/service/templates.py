"""The templates drawn last, so that the pages a reader turns one after the other are laid out once."""

from __future__ import annotations

from dataclasses import dataclass, field
from threading import Lock
from typing import Final

from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.shop import Bit
from app.paper.sheets import Pages
from app.scene.primitives import Scene

_MOST: Final = 4
"""Templates kept: the two faces of a board in two windows; each holds its plan, no drawn page."""


@dataclass(frozen=True, slots=True)
class Template:
    """The pages of a template, drawn by one reader at a time.

    Args:
        board: the board itself: another with the same content counts as another.
        asked: the face, how it is printed, and the bit whose work alone is drawn.
        pages: each drawn when it is asked for.
    """

    board: ResolvedBoard
    asked: tuple[Face, Printing, Bit | None]
    pages: Pages
    _turn: Lock = field(default_factory=Lock, repr=False, compare=False)

    def page(self, index: int) -> Scene:
        """The page of a sheet, from 0."""
        with self._turn:
            return self.pages[index]


_last: list[Template] = []
_keeping = Lock()


def template_of(board: ResolvedBoard, face: Face, printing: Printing, only: Bit | None = None) -> Template:
    """The template of one face of a board.

    Raises:
        PaperError: the paper is too small for a sheet, or margin or overlap are not possible on it.
    """
    asked = (face, printing, only)
    with _keeping:
        for kept in _last:
            if kept.board is board and kept.asked == asked:
                return kept
    made = Template(board, asked, Pages(board, face, printing, only=only))
    with _keeping:
        _last.insert(0, made)
        del _last[_MOST:]
    return made
