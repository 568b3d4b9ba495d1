"""Every centre that is marked out on a board: what it is called, where it is, and where a rule puts it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from app.model.part import Face
from app.model.resolved import Hole, Placed, ResolvedBoard
from app.shop.screw_pilots import screw_pilots

Sort = Literal["hole", "opening", "screw"]


@dataclass(frozen=True, slots=True)
class Centre:
    """A centre to mark.

    Args:
        name: the letter of its part, with a number where the part has several: ``A``, ``S1-14``.
        placement: id of its placement.
        sort: a hole drilled, an opening sawn or routed, or a screw.
        face: from which it is made.
        width: of the hole as it is made, of an opening its smaller side, of a screw its pilot [mm].
        left, front: where it is, from the datum edges [mm].
        left_marked, front_marked: the same as a rule reads it [mm].
    """

    name: str
    placement: str
    sort: Sort
    face: Face
    width: float
    left: float
    front: float
    left_marked: float
    front_marked: float

    @property
    def diagonal(self) -> float:
        """From the datum corner, as marked: what tells a slip of either measure [mm]."""
        return math.hypot(self.left_marked, self.front_marked)


def centres_of(board: ResolvedBoard, reading: float) -> tuple[Centre, ...]:
    """Every centre of what is drilled, read to ``reading`` [mm], part by part; holes before screws."""
    x0, y0, _, _ = board.outline.bounds
    return tuple(
        replace(
            centre,
            left=centre.left - x0,
            front=centre.front - y0,
            left_marked=read_to(centre.left - x0, reading),
            front_marked=read_to(centre.front - y0, reading),
        )
        for placed in board.drilled
        for centre in _of(board, placed)
    )


def read_to(mm: float, reading: float) -> float:
    """A length to the nearest that a rule divided in ``reading`` shows, half upwards [mm]."""
    return round(math.floor(mm / reading + 0.5) * reading, 9) + 0.0


def marked_board(board: ResolvedBoard, reading: float) -> ResolvedBoard:
    """The board with every centre where the rule puts it: what is drilled where nobody has a template."""
    x0, y0, _, _ = board.outline.bounds

    def moved(placed: Placed) -> Placed:
        if not placed.drill:
            return placed
        holes = tuple(_hole(hole, x0, y0, reading) for hole in placed.holes)
        lead = placed.holes[0].centre if placed.holes else (placed.x, placed.y)
        dx, dy = (read_to(v - o, reading) - (v - o) for v, o in zip(lead, (x0, y0), strict=True))
        return replace(placed, x=placed.x + dx, y=placed.y + dy, holes=holes)

    return replace(board, placements=tuple(moved(placed) for placed in board.placements))


def _hole(hole: Hole, x0: float, y0: float, reading: float) -> Hole:
    x, y = hole.centre
    dx, dy = read_to(x - x0, reading) - (x - x0), read_to(y - y0, reading) - (y - y0)
    return Hole(hole.cutout, hole.shape.shifted(dx, dy), hole.bit)


def _of(board: ResolvedBoard, placed: Placed) -> Iterator[Centre]:
    called = placed.label or placed.part.name
    pattern = placed.part.pattern
    numbers = pattern.holes.numbers.tolist() if pattern is not None else range(1, len(placed.holes) + 1)
    alone = len(placed.holes) == 1 and pattern is None
    for number, hole in zip(numbers, placed.holes, strict=True):
        name = called if alone else f"{called}-{number}"
        sort: Sort = "hole" if hole.is_circle else "opening"
        yield Centre(name, placed.id, sort, "top", hole.diameter, *hole.centre, 0.0, 0.0)
    pilots = screw_pilots(board, placed)
    if pilots is None:
        return
    for number, at in enumerate(pilots.at, 1):
        yield Centre(f"{called} screw {number}", placed.id, "screw", pilots.face, pilots.diameter, *at, 0.0, 0.0)
