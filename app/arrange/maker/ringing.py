"""Outline and openings of a maker on a board, and exchanged when it makes anew."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from app.arrange.board.rings import Ring, rings_of, with_rings
from app.arrange.maker.made import Made
from app.arrange.maker.placing import MakerPose
from app.catalogue.load import Catalogue
from app.document.resolve import find_board
from app.document.schema import CornerEntry, Design
from app.geometry.outline import Corner
from app.geometry.shapes import rotate

_SAME: Final = 1e-6
"""Corners this near are the same [mm]: what is left of binary arithmetic."""


def ring_at(ring: Ring, pose: MakerPose) -> Ring:
    """A ring about a maker's middle, at its place on the board."""
    moved = [(rotate((c.x, c.y), pose.angle), c.setback) for c in ring]
    return tuple(Corner(round(pose.x + x, 9) + 0.0, round(pose.y + y, 9) + 0.0, back) for (x, y), back in moved)


def corners_of(ring: Ring, pose: MakerPose) -> tuple[CornerEntry, ...]:
    """The same, as the design file has corners."""
    return tuple(CornerEntry(x=c.x, y=c.y, setback=c.setback) for c in ring_at(ring, pose))


def openings_at(made: Made, pose: MakerPose) -> tuple[Ring, ...]:
    """The openings that a maker cuts, at their place on the board."""
    return tuple(ring_at(ring, pose) for ring in made.openings)


def with_openings(
    design: Design, board_id: str, before: Sequence[Ring], now: Sequence[Ring], catalogue: Catalogue
) -> Design:
    """The design with openings of a board exchanged: those that stand where they were made before, for those of now.

    Raises:
        EditError: one would not be inside the board, or meets another.
    """
    if not before and not now:
        return design
    rim, *openings = rings_of(find_board(design, board_id))
    others = [ring for ring in openings if not any(same_ring(ring, one) for one in before)]
    return with_rings(design, board_id, (rim, *others, *now), catalogue)


def same_ring(one: Ring, other: Ring) -> bool:
    """Whether two rings have the same corners, wherever they begin."""
    if len(one) != len(other):
        return False
    turns = range(len(one))
    return any(all(_same(one[(k + turn) % len(one)], other[k]) for k in turns) for turn in turns)


def _same(a: Corner, b: Corner) -> bool:
    apart = max(math.dist((a.x, a.y), (b.x, b.y)), math.dist(a.setback or (0, 0), b.setback or (0, 0)))
    return apart < _SAME
