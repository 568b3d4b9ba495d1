"""What a file has to show, straight from the model: cuts and rims as they lie in a drawing of one face.

Nothing here uses the drawings or the writers: places and sizes come from the resolved board, the underside is
mirrored by x' = left + right − x, and a kerf is taken off by the parallel curve's own formulas.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Literal

from msgspec import Struct

from app.drafting.template.template_bits import bore_bit, pilot_bit, recess_bit
from app.geometry.shapes import Shape
from app.model.part import Face
from app.model.resolved import Hole, Placed, ResolvedBoard
from app.model.tooling import Bit
from app.proof.curves import Point
from app.shop.screw_pilots import screw_pilots
from app.values import replace

Operation = Literal["through", "counterbore", "recess", "pilot", "opening", "outline"]

_SAME = 1e-6
_AGAIN = 2e-6  # mm: drawings round to the sixth decimal, so that nearer cuts may have become one
_BESIDE = (-1e-3, 1e-3)  # mm: centres of the same cut are no farther apart along x or y


class WantedCut(Struct, frozen=True):
    """One cut.

    Args:
        operation: what is done.
        core: the cut as it has to be drawn, grown back to a point, a segment or a convex polygon [mm].
        radius: what the core is grown by [mm].
        size: diameter, or longer and shorter side, before any kerf; of a round hole that of its bit [mm].
        depth: of a cut that does not go through; 0 of one that does [mm].
        label: letter of the part; empty if it has none.
        again: whether it lies on one before it as nearly as drawings round: it is drawn once, and may be drawn twice.
    """

    operation: Operation
    core: tuple[Point, ...]
    radius: float
    size: tuple[float, ...]
    depth: float
    label: str
    again: bool = False

    @property
    def at(self) -> Point:
        """Its centre [mm]."""
        n = len(self.core)
        if n == 1:
            return self.core[0]
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


def wanted_cuts(board: ResolvedBoard, face: Face, *, kerf: float = 0.0) -> tuple[WantedCut, ...]:
    """Every cut of an exchange drawing of ``face``; positions not drilled and cuts on one another are not repeated.

    Args:
        board: the model.
        face: the face drawn; the underside is mirrored, and has counterbores and recesses too.
        kerf: full width of the cut the holes right through are drawn smaller by [mm].
    """
    cuts = (cut for placed in board.drilled for cut in _cuts(board, placed, face, kerf / 2, below=face == "under"))
    return _once(cuts)


def template_cuts(board: ResolvedBoard, face: Face, only: Bit | None = None) -> tuple[WantedCut, ...]:
    """Every cut of a drill template of ``face``, which shows on the top face too where the underside is cut.

    Args:
        board: the model.
        face: the face it is stuck on.
        only: the bit whose work from this face alone is drawn; None for all.
    """
    if only is None:
        return _once(cut for placed in board.drilled for cut in _cuts(board, placed, face, below=True))
    found: list[WantedCut] = []
    for placed in board.drilled:
        pilots = screw_pilots(board, placed)
        makes = {
            "counterbore": bore_bit(board, placed) == only,
            "recess": recess_bit(board, placed) == only,
            "pilot": pilots is not None and pilot_bit(board, pilots) == only,
        }
        for cut in _cuts(board, placed, face, below=face == "under"):
            made = face == "top" and any(
                h.bit == only and h.is_circle for h in placed.holes if _is(cut, h, board, face)
            )
            if makes.get(cut.operation, made):
                found.append(cut)
    return _once(found)


def _is(cut: WantedCut, hole: Hole, board: ResolvedBoard, face: Face) -> bool:
    return _same(cut, _wanted(board, face, "through", hole.shape, 0.0, ""))


def _once(cuts: Iterable[WantedCut]) -> tuple[WantedCut, ...]:
    """The cuts without those that are there to the last digit; what is as good as there is marked so."""
    found: list[WantedCut] = []
    near: dict[tuple[int, int], list[WantedCut]] = {}
    for cut in cuts:
        x, y = cut.at
        # The same cut lies in the same square millimetre, or beyond a side of it that this one lies on.
        squares = {(math.floor(x + u), math.floor(y + v)) for u in _BESIDE for v in _BESIDE}
        others = [other for square in squares for other in near.get(square, ()) if _same(cut, other)]
        if not any((cut.core, cut.radius) == (other.core, other.radius) for other in others):
            found.append(replace(cut, again=True) if others else cut)
            near.setdefault((math.floor(x), math.floor(y)), []).append(cut)
    return tuple(found)


def _cuts(board: ResolvedBoard, placed: Placed, face: Face, less: float = 0.0, *, below: bool) -> Iterator[WantedCut]:
    letter = placed.label
    for hole in placed.holes:
        yield _wanted(board, face, "through", hole.shape, 0.0, letter, less)
    if below and placed.counterbore is not None:
        shape = Shape(((placed.x, placed.y),), placed.counterbore.diameter / 2)
        yield _wanted(board, face, "counterbore", shape, placed.counterbore.depth, letter)
    if below and placed.recess is not None and placed.pocket is not None:
        yield _wanted(board, face, "recess", placed.pocket, placed.recess.depth, letter)
    pilots = screw_pilots(board, placed)
    if pilots is not None and pilots.face == face:
        for at in placed.screws:
            if all(math.dist(at, hole.centre) > _SAME for hole in placed.holes):
                yield _wanted(board, face, "pilot", Shape((at,), pilots.diameter / 2), pilots.depth, letter)


def _wanted(
    board: ResolvedBoard, face: Face, operation: Operation, shape: Shape, depth: float, label: str, less: float = 0.0
) -> WantedCut:
    x0, _, x1, _ = board.outline.bounds
    core = tuple((x0 + x1 - x, y) if face == "under" else (x, y) for x, y in shape.core)
    sides = [math.dist(core[k - 1], core[k]) + 2 * shape.radius for k in range(len(core))]
    size = (2 * shape.radius,) if len(core) == 1 else (max(sides), min(sides) if len(core) > 2 else 2 * shape.radius)
    radius = shape.radius - less
    return WantedCut(operation, _inside(core, -radius) if radius < 0 else core, max(0.0, radius), size, depth, label)


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


def _same(a: WantedCut, b: WantedCut) -> bool:
    return (
        a.operation == b.operation
        and len(a.core) == len(b.core)
        and abs(a.radius - b.radius) <= _AGAIN
        and abs(a.depth - b.depth) < _SAME
        and all(min(math.dist(p, q) for q in b.core) <= _AGAIN for p in a.core)
    )
