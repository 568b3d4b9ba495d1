"""Cards with coded markers that are laid in the corners of a board before it is photographed: which, and where.

Each card is a square whose sides lie flush with the two edges that meet at its corner, so that the rectangle of the
board itself is the frame that is known. Its marker stands in its middle; the number of the marker says which corner it
is for, and bears a code of the board it was printed for.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from typing import Final, Literal

from msgspec import Struct

from app.geometry.outline import Outline
from app.geometry.pieces import LinePiece
from app.geometry.shapes import Point
from app.model.part import Face
from app.model.resolved import ResolvedBoard

CORNERS: Final = ("front left", "front right", "back right", "back left")
"""The corners of a face as it lies before the builder, in the order of their cards, 1 to 4."""

CODES: Final = 250
"""How many boards can be told apart: the dictionary has 1,000 markers, four for each."""

MARKERS: Final = (40.0, 32.0, 24.0, 20.0, 16.0, 12.0)
"""Sides of markers [mm], the largest first: the larger, the surer are its corners. Choice of this program."""

QUIET: Final = 0.15
"""White round a marker, in sides of it: a little more than the one cell (1/8) that detectors need."""

LONG_SIDE: Final = 3700.0
"""As many pixels of a photograph lie along a board that fills it; cameras of 12 megapixels have 4,000."""

LEAST_PIXELS: Final = 100.0
"""What a marker should have of them: below it, corners were found worse in our own trials."""

TAB: Final = 8.0
"""Height of the tab that says which corner a card is for, towards the middle of the board [mm]."""

_STRAIGHT: Final = 10.0  # of an edge a card has to lie along [mm]
_SAME: Final = 1e-6

Lack = Literal["small", "corner", "covers"]
"""Why no cards can be laid: the board is too small, or has no two straight edges at a corner; or that they lie over
holes, which then are not measured."""


class Cards(Struct, frozen=True):
    """The four cards of one face of a board.

    Args:
        face: the face that is up.
        code: of the board, 0 to 249; each face has its own.
        width, depth: of the rectangle in whose corners they lie [mm].
        marker: side of a marker [mm].
    """

    face: Face
    code: int
    width: float
    depth: float
    marker: float

    @property
    def quiet(self) -> float:
        """White from the side of a card to its marker [mm]."""
        return self.marker * QUIET

    @property
    def side(self) -> float:
        """Of the square of a card [mm]."""
        return self.marker + 2 * self.quiet

    @property
    def tab(self) -> float:
        """Height of its tab, which lies towards the middle of the board and says which corner it is for [mm]."""
        return TAB

    @property
    def numbers(self) -> tuple[int, int, int, int]:
        """Numbers of the markers, corner by corner."""
        return (4 * self.code, 4 * self.code + 1, 4 * self.code + 2, 4 * self.code + 3)

    def low_corner(self, corner: int) -> Point:
        """The front left end of the card of a corner, from the front left end of the face [mm]."""
        right, back = corner in (1, 2), corner in (2, 3)
        return (self.width - self.side if right else 0.0, self.depth - self.side if back else 0.0)

    def centre(self, corner: int) -> Point:
        """The middle of a card, likewise [mm]."""
        x, y = self.low_corner(corner)
        return (x + self.side / 2, y + self.side / 2)


class CardPlan(Struct, frozen=True):
    """The cards of a face, and what is to be said of them.

    Args:
        cards: the cards; None where none can be laid.
        lack: why there are none, or what is wrong with them; None if nothing is.
        corners: the corners that lack two straight edges, by :data:`CORNERS`.
        covered: ids of placements of which a hole lies under a card.
        near: whether the markers are so small that the photograph has to be a large one.
    """

    cards: Cards | None
    lack: Lack | None = None
    corners: tuple[str, ...] = ()
    covered: tuple[str, ...] = ()
    near: bool = False


def plan_cards(board: ResolvedBoard, face: Face, size: Point | None = None) -> CardPlan:
    """The largest cards that lie in the four corners of a face and cover none of its holes.

    Args:
        board: the board.
        face: the face that is up.
        size: width and depth of the real board, where they were measured [mm]; else as it is drawn.
    """
    x0, y0, x1, y1 = board.outline.bounds
    width, depth = x1 - x0, y1 - y0
    fitting = [
        m for m in MARKERS if 2 * m * (1 + 2 * QUIET) + 6.0 <= width and 2 * (m * (1 + 2 * QUIET) + TAB) <= depth
    ]
    if not fitting:
        return CardPlan(None, "small")
    bare = [_bare_corners(board.outline, m * (1 + 2 * QUIET)) for m in fitting]
    square = [(m, lacking) for m, lacking in zip(fitting, bare, strict=True) if not lacking]
    if not square:
        return CardPlan(None, "corner", corners=tuple(CORNERS[k] for k in _seen_order(bare[0], face)))
    best, covered = square[0][0], _covered(board, square[0][0] * (1 + 2 * QUIET))
    for marker, _ in square[1:]:
        if not covered:
            break
        less = _covered(board, marker * (1 + 2 * QUIET))
        if len(less) < len(covered):
            best, covered = marker, less
    real = size or (width, depth)
    cards = Cards(face, card_code(board, face, best), real[0], real[1], best)
    near = best < max(width, depth) * LEAST_PIXELS / LONG_SIDE
    return CardPlan(cards, "covers" if covered else None, covered=covered, near=near)


def card_code(board: ResolvedBoard, face: Face, marker: float) -> int:
    """A code of what has to be the same for cards to be of use: design, board, its size, and that of the markers.

    The two faces of a board never have the same one.
    """
    x0, y0, x1, y1 = board.outline.bounds
    said = (board.title, board.id, round(x1 - x0, 2), round(y1 - y0, 2), marker)
    number = int.from_bytes(hashlib.sha256(repr(said).encode()).digest()[:8], "big") % CODES
    return number if face == "top" else (number + CODES // 2) % CODES


def _seen_order(corners: Sequence[int], face: Face) -> list[int]:
    """Corners of the board as somebody calls them who looks at a face: from below, left is right."""
    return sorted((1, 0, 3, 2)[k] for k in corners) if face == "under" else list(corners)


def _bare_corners(outline: Outline, side: float) -> tuple[int, ...]:
    """Corners, by number, where a card of that side has no straight edge to lie along on either side of it [mm]."""
    x0, y0, x1, y1 = outline.bounds
    lines = [piece for piece in outline.pieces if isinstance(piece, LinePiece)]
    missing = []
    for k, (x, y) in enumerate(((x0, y0), (x1, y0), (x1, y1), (x0, y1))):
        inward = (side if x == x0 else -side, side if y == y0 else -side)
        beside = _along(lines, 0, x, *sorted((y, y + inward[1])))
        across = _along(lines, 1, y, *sorted((x, x + inward[0])))
        if min(beside, across) < min(_STRAIGHT, side / 2):
            missing.append(k)
    return tuple(missing)


def _along(lines: Sequence[LinePiece], axis: int, at: float, low: float, high: float) -> float:
    """How much of the line where coordinate ``axis`` is ``at``, between two ends, is straight edge [mm]."""
    found = 0.0
    for line in lines:
        if abs(line.a[axis] - at) < _SAME and abs(line.b[axis] - at) < _SAME:
            one, two = sorted((line.a[1 - axis], line.b[1 - axis]))
            found += max(0.0, min(two, high) - max(one, low))
    return found


def _covered(board: ResolvedBoard, side: float) -> tuple[str, ...]:
    x0, y0, x1, y1 = board.outline.bounds
    found = dict.fromkeys(
        placed.id
        for placed in board.drilled
        for hole in placed.holes
        if _over(hole.shape.bounds, (x0, y0, x1, y1), side)
    )
    return tuple(found)


def _over(box: tuple[float, float, float, float], board: tuple[float, float, float, float], side: float) -> bool:
    """Whether a hole comes within a few millimetres of a card in any corner: its rim has to be seen all round."""
    air = 3.0
    high = side + TAB + air
    across = box[0] < board[0] + side + air or box[2] > board[2] - side - air
    along = box[1] < board[1] + high or box[3] > board[3] - high
    return across and along
