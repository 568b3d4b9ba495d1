"""Boards side by side at one scale, as large as they go in a picture."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from app.model.resolved import ResolvedBoard
from app.scene.metrics import text_width
from app.scene.primitives import Point

GAP: Final = 3.0
"""Between two boards [mm of paper]."""

NAME: Final = 3.4
"""Below each for its name [mm of paper]."""

SIZE: Final = 2.3
"""Of its letters [mm of paper]."""

_WIDE: Final = 17.0  # a name is given so much width, however narrow its board is [mm]
_LETTERS: Final = 1.15  # letters of a screen are so much wider than those of a sheet
_HALVINGS: Final = 18


class PictureTile(Struct, frozen=True):
    """Where a board lies in a picture, from its lower left corner [mm of paper].

    Args:
        board: the board.
        at: where the lower left corner of its bounds lies.
        scale: mm of paper for a mm of board.
    """

    board: ResolvedBoard
    at: Point
    scale: float

    @property
    def size(self) -> Point:
        """Width and height [mm of paper]."""
        return self.scale * self.board.width, self.scale * self.board.depth_front_to_back


def tiles(boards: Sequence[ResolvedBoard], room: Point) -> tuple[tuple[PictureTile, ...], Point]:
    """Boards in rows, read from the upper left, and the width and height they take [mm of paper].

    Args:
        boards: the boards.
        room: width and height there is [mm of paper].
    """
    high = min(
        room[0] / max(b.width for b in boards), max(room[1] - NAME, 1.0) / min(b.depth_front_to_back for b in boards)
    )
    low = 0.0
    for _ in range(_HALVINGS):  # what fits at one scale fits at every smaller one
        middle = (low + high) / 2
        low, high = (middle, high) if _height(_rows(boards, middle, room[0]), middle) <= room[1] else (low, middle)
    return _laid(_rows(boards, low, room[0]), low)


def _rows(boards: Sequence[ResolvedBoard], scale: float, width: float) -> list[list[ResolvedBoard]]:
    rows: list[list[ResolvedBoard]] = []
    left = -1.0
    for board in boards:
        wide = cell_width(board, scale)
        if not rows or wide > left:
            rows.append([])
            left = width
        rows[-1].append(board)
        left -= wide + GAP
    return rows


def cell_width(board: ResolvedBoard, scale: float) -> float:
    """How wide a board and its name are in a picture [mm of paper]."""
    return max(scale * board.width, min(_LETTERS * text_width(board.name, SIZE), _WIDE))


def _height(rows: Sequence[Sequence[ResolvedBoard]], scale: float) -> float:
    return sum(scale * max(b.depth_front_to_back for b in row) + NAME for row in rows) + GAP * (len(rows) - 1)


def _laid(rows: Sequence[Sequence[ResolvedBoard]], scale: float) -> tuple[tuple[PictureTile, ...], Point]:
    found, top, widest = list[PictureTile](), _height(rows, scale), 0.0
    total = top
    for row in rows:
        top -= scale * max(board.depth_front_to_back for board in row)
        x = 0.0
        for board in row:
            found.append(PictureTile(board, (x, top), scale))
            x += cell_width(board, scale) + GAP
        widest = max(widest, x - GAP)
        top -= NAME + GAP
    return tuple(found), (widest, total)
