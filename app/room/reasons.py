"""Why no room was found: the part that is one too many, or how much larger the board would have to be.

Everything is found by trying, and each answer was tried and found clear by the rules.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from app.catalogue.load import Catalogue
from app.fit.layout import natural
from app.geometry.outline import Corner, Outline
from app.model.board import DepthPlane
from app.model.resolved import ResolvedBoard
from app.room.make import Attempt, Follower, attempt

_PARTS_TRIED = 12
_LARGEST = 512.0  # mm: a board so much larger is another board


@dataclass(frozen=True, slots=True)
class Reason:
    """What would make room.

    Args:
        part: id of the placement without which the others find room; None if leaving out one is not enough.
        longer: how much longer the board must be [mm, whole]; None if no length up to 512 mm more is enough.
        deeper: how much deeper, front to back, likewise.
    """

    part: str | None
    longer: float | None
    deeper: float | None


def reason_for(
    found: Attempt, catalogue: Catalogue, *, rigid: bool = False, followers: Sequence[Follower] = ()
) -> Reason:
    """Why an attempt found no room, or what would give it; the smallest in whole millimetres."""

    def is_roomy(board: ResolvedBoard) -> bool:
        tried = attempt(board, catalogue, rigid=rigid, followers=followers)
        return tried.after is not None

    def larger(across: float, along: float) -> bool:
        return is_roomy(stretched(found.board, across, along))

    return Reason(
        next((i for i in _suspects(found) if is_roomy(without(found.board, i))), None),
        _least(lambda more: larger(more, 0.0)),
        _least(lambda more: larger(0.0, more)),
    )


def _suspects(found: Attempt) -> list[str]:
    """Parts that may move, the most often concerned first."""
    counted = Counter(s for finding in found.wanted for s in finding.subjects)
    locked = {p.id for p in found.board.drilled if p.locked}
    ids = [i for i in counted if i not in locked]
    return sorted(ids, key=lambda i: (-counted[i], natural(i)))[:_PARTS_TRIED]


def _least(enough: Callable[[float], bool]) -> float | None:
    """The least whole number that is enough, by doubling and halving."""
    high = 1.0
    while not enough(high):
        high *= 2
        if high > _LARGEST:
            return None
    low = high / 2 if high > 1 else 0.0
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


def without(board: ResolvedBoard, placement: str) -> ResolvedBoard:
    """The board with one part left out."""
    return replace(board, placements=tuple(p for p in board.placements if p.id != placement))


def stretched(board: ResolvedBoard, across: float, along: float) -> ResolvedBoard:
    """The board longer by ``across``, half at each end so that what is symmetric stays so, and deeper by ``along``.

    Corners move with the half of the board they are in; the front edge, the openings and the parts stay.
    The free depth below is as it was at the front and the back edge, and straight between.
    """
    x0, y0, x1, y1 = board.outline.bounds
    corners = tuple(
        Corner(
            c.x + (across / 2 if c.x > (x0 + x1) / 2 else -across / 2),
            c.y + (along if c.y > (y0 + y1) / 2 else 0.0),
            c.ease,
        )
        for c in board.outline.corners
    )
    depth = board.depth
    if depth is not None and along:
        slope = depth.slope_y * (y1 - y0) / (y1 + along - y0)
        depth = DepthPlane(depth.at(0.0, y0) - slope * y0, depth.slope_x, slope)
    return replace(board, outline=Outline(corners), depth=depth)
