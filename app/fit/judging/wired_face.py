"""The underside as wires see it: what they join, and what they go round."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from app.geometry.shapes import Point, Shape
from app.geometry.wire_ways import Obstacle
from app.model.resolved import Placed, ResolvedBoard


class WiredFace(Struct, frozen=True):
    """What is joined on a board.

    Args:
        encoders: the encoder boards, in the order of the plan.
        parts: what is wired to them, in their order on the board.
        sound: ids of what carries sound, and is wired to an amplifier.
    """

    encoders: tuple[Placed, ...]
    parts: tuple[Placed, ...]
    sound: tuple[str, ...]

    @property
    def joined(self) -> tuple[Placed, ...]:
        """The encoder boards, then the parts: the order of the points of ways."""
        return (*self.encoders, *self.parts)

    @property
    def points(self) -> list[Point]:
        """The middle of each body [mm]."""
        return [placed.body.centre for placed in self.joined]


def wired_face(board: ResolvedBoard) -> WiredFace:
    """What is joined on a board; nothing where no wiring is known."""
    plan = board.wiring
    if plan is None:
        return WiredFace((), (), ())
    chosen = [placed for ident in plan.encoders if (placed := board.placed(ident)) is not None]
    encoders = tuple(p for p in chosen if p.drill and p.part.encoder is not None)
    wired = [p for p in board.drilled if p.part.wiring is not None and p.id not in plan.apart]
    parts = tuple(p for p in wired if p.part.wiring and p.part.wiring.signal_tabs and p.part.wiring.signal != "sound")
    sound = tuple(p.id for p in wired if p.part.wiring and p.part.wiring.signal == "sound")
    return WiredFace(encoders, parts, sound)


def wire_obstacles(board: ResolvedBoard, face: WiredFace) -> list[Obstacle]:
    """Bodies, counterbores, recesses, rails and areas to keep clear on the underside."""
    owners = {placed.id: k for k, placed in enumerate(face.joined)}
    found = [
        Obstacle(shape, owners.get(placed.id, -1))
        for placed in board.drilled
        for shape in _of(placed, board)
    ]  # fmt: skip
    found += [Obstacle(strip.shape) for strip in board.rails]
    return found + [Obstacle(area.shape) for area in board.keep_clear if area.face == "under"]


def _of(placed: Placed, board: ResolvedBoard) -> Iterator[Shape]:
    if placed.part.has_body and placed.depth_below(board.thickness, board.paint) > 0:
        yield placed.body
    if placed.bore is not None:
        yield placed.bore
    if placed.pocket is not None:
        yield placed.pocket
