"""What a file has to show, straight from the model: cuts and rims as they lie in a drawing of one face.

Nothing here uses the drawings or the writers: places and sizes come from the resolved board, the underside is
mirrored by x' = left + right − x, and a kerf is taken off by the parallel curve's own formulas.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from app.drafting.screws import screw_pilots
from app.geometry.shapes import Shape
from app.model.part import Face
from app.model.resolved import Placed, ResolvedBoard
from app.proof.curves import Point

Operation = Literal["through", "counterbore", "recess", "pilot", "opening", "outline"]

_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class Wanted:
    """One cut.

    Args:
        operation: what is done.
        core: the cut as it has to be drawn, grown back to a point, a segment or a convex polygon [mm].
        radius: what the core is grown by [mm].
        size: diameter, or longer and shorter side, as designed [mm].
        depth: of a cut that does not go through; 0 of one that does [mm].
        label: letter of the part; empty if it has none.
    """

    operation: Operation
    core: tuple[Point, ...]
    radius: float
    size: tuple[float, ...]
    depth: float
    label: str

    @property
    def at(self) -> Point:
        """Its centre [mm]."""
        n = len(self.core)
        return (sum(p[0] for p in self.core) / n, sum(p[1] for p in self.core) / n)

    @property
    def is_circle(self) -> bool:
        """Whether it is round."""
        return len(self.core) == 1

    @property
    def words(self) -> str:
        """What it is and where, for a message."""
        size = " × ".join(f"{side:g}" for side in self.size)
        x, y = self.at
        part = f" of {self.label}" if self.label else ""
        name = {"through": "hole", "pilot": "screw pilot"}.get(self.operation, self.operation)
        return f"{name}{part}, {size} mm at x {x:.2f}, y {y:.2f} mm"


def wanted_cuts(
    board: ResolvedBoard, face: Face, *, kerf: float = 0.0, through_below: bool = True, shown_through: bool = False
) -> tuple[Wanted, ...]:
    """Every cut of a drawing of ``face``; positions not drilled and cuts on one another are not repeated.

    Args:
        board: the model.
        face: the face drawn; the underside is mirrored.
        kerf: full width of the cut the holes right through are drawn smaller by [mm].
        through_below: whether through holes are on a drawing of the underside too.
        shown_through: whether counterbores and recesses are on a drawing of the top face too, as on a template.
    """
    found: list[Wanted] = []
    for placed in board.drilled:
        for cut in _cuts(board, placed, face, kerf / 2, through_below, shown_through):
            if not any(_same(cut, other) for other in found):
                found.append(cut)
    return tuple(found)


def _cuts(
    board: ResolvedBoard, placed: Placed, face: Face, less: float, through_below: bool, shown_through: bool
) -> Iterator[Wanted]:
    letter = placed.label
    if face == "top" or through_below:
        for hole in placed.holes:
            yield _wanted(board, face, "through", hole.shape, 0.0, letter, less)
    if face == "under" or shown_through:
        if placed.counterbore is not None:
            shape = Shape(((placed.x, placed.y),), placed.counterbore.diameter / 2)
            yield _wanted(board, face, "counterbore", shape, placed.counterbore.depth, letter)
        if placed.recess is not None and placed.pocket is not None:
            yield _wanted(board, face, "recess", placed.pocket, placed.recess.depth, letter)
    pilots = screw_pilots(board, placed)
    if pilots is not None and pilots.face == face:
        for at in placed.screws:
            if all(math.dist(at, hole.centre) > _SAME for hole in placed.holes):
                yield _wanted(board, face, "pilot", Shape((at,), pilots.diameter / 2), pilots.depth, letter)


def _wanted(
    board: ResolvedBoard, face: Face, operation: Operation, shape: Shape, depth: float, label: str, less: float = 0.0
) -> Wanted:
    x0, _, x1, _ = board.outline.bounds
    core = tuple((x0 + x1 - x, y) if face == "under" else (x, y) for x, y in shape.core)
    sides = [math.dist(core[k - 1], core[k]) + 2 * shape.radius for k in range(len(core))]
    size = (2 * shape.radius,) if len(core) == 1 else (max(sides), min(sides) if len(core) > 2 else 2 * shape.radius)
    radius = shape.radius - less
    return Wanted(operation, _inside(core, -radius) if radius < 0 else core, max(0.0, radius), size, depth, label)


def _inside(core: tuple[Point, ...], by: float) -> tuple[Point, ...]:
    """A rectangle with ``by`` mm less on every side: each corner moved along both its sides."""
    moved = []
    for k, corner in enumerate(core):
        x, y = corner
        for other in (core[k - 1], core[(k + 1) % len(core)]):
            share = by / math.dist(corner, other)
            x, y = x + (other[0] - corner[0]) * share, y + (other[1] - corner[1]) * share
        moved.append((x, y))
    return tuple(moved)


def _same(a: Wanted, b: Wanted) -> bool:
    return (
        a.operation == b.operation
        and len(a.core) == len(b.core)
        and abs(a.radius - b.radius) < _SAME
        and abs(a.depth - b.depth) < _SAME
        and all(min(math.dist(p, q) for q in b.core) < _SAME for p in a.core)
    )
