"""A board as it is drilled where nobody has a template: every centre where a rule puts it."""

from __future__ import annotations

import math
from typing import Final, Literal

from app.geometry.shapes import Point, rotate
from app.model.part import Cutout, Part, ScrewFixing
from app.model.resolved import Hole, Placed, ResolvedBoard
from app.shop.centres import read_to
from app.values import replace

Edge = Literal["left", "right"]
"""From which edge the screws of the underside are measured: the datum edge, or the one at the left hand there."""

_SAME: Final = 1e-6


def marked_board(board: ResolvedBoard, reading: float, below: Edge = "left") -> ResolvedBoard:
    """The board with every hole, opening and screw where a rule read to ``reading`` puts it [mm].

    A part goes where its first hole goes. What else it has is rounded by itself, so its cut-outs and screws no longer
    stand as the part has them: rules judge them where they are.
    """
    x0, y0, x1, _ = board.outline.bounds

    def put(at: Point, *, other: bool = False) -> Point:
        x = x1 - read_to(x1 - at[0], reading) if other else x0 + read_to(at[0] - x0, reading)
        return (x, y0 + read_to(at[1] - y0, reading))

    def moved(placed: Placed) -> Placed:
        if not placed.drill:
            return placed
        first = placed.holes[0].centre if placed.holes else (placed.x, placed.y)
        lead = put(first)
        dx, dy = lead[0] - first[0], lead[1] - first[1]
        holes = tuple(_hole(hole, put(hole.centre)) for hole in placed.holes)
        fixing = placed.part.fixing
        other = below == "right" and isinstance(fixing, ScrewFixing) and fixing.side == "under"
        screws = tuple(put(at, other=other) for at in placed.screws)
        at = (placed.x + dx, placed.y + dy)
        part = _part(placed, at, tuple(h.centre for h in holes), screws)
        return replace(placed, part=part, x=at[0], y=at[1], holes=holes)

    return board.populated(tuple(moved(placed) for placed in board.placements))


def _hole(hole: Hole, to: Point) -> Hole:
    x, y = hole.centre
    return Hole(hole.cutout, hole.shape.shifted(to[0] - x, to[1] - y), hole.bit)


def _part(placed: Placed, at: Point, holes: tuple[Point, ...], screws: tuple[Point, ...]) -> Part:
    """The part with its cut-outs and screws where they are marked; itself if they all moved with it."""
    part = placed.part

    def own(point: Point) -> Point:
        return rotate((point[0] - at[0], point[1] - at[1]), -placed.angle)

    cutouts = tuple(_cutout(c, own(to)) for c, to in zip(part.cutouts, holes, strict=True))
    fixing = part.fixing
    if isinstance(fixing, ScrewFixing):
        # A bolt stays in the middle of its cut-out, which holds in what lies beyond the board.
        bolts = [(c.shape.centre, new.shape.centre) for c, new in zip(part.cutouts, cutouts, strict=True)]
        places = tuple(
            next((new for old, new in bolts if math.dist(old, was) < _SAME), own(to))
            for was, to in zip(fixing.holes, screws, strict=True)
        )
        if any(math.dist(a, b) > _SAME for a, b in zip(places, fixing.holes, strict=True)):
            fixing = replace(fixing, holes=places)
    if fixing is part.fixing and all(a is b for a, b in zip(cutouts, part.cutouts, strict=True)):
        return part
    return replace(part, cutouts=cutouts, fixing=fixing)


def _cutout(cutout: Cutout, to: Point) -> Cutout:
    x, y = cutout.shape.centre
    dx, dy = to[0] - x, to[1] - y
    if abs(dx) < _SAME and abs(dy) < _SAME:
        return cutout
    return replace(cutout, shape=cutout.shape.shifted(dx, dy))
