"""The size of a board, and of a ring: what lies beyond its middle moves, so that slopes and set-backs stay."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

from app.arrange.board.rings import Ring, box_of, meeting, replaced, rings_of, with_rings
from app.arrange.change import Edit, number, shown
from app.catalogue.load import Catalogue
from app.document.resolve import find_board
from app.document.schema import Design
from app.errors import EditError, GeometryError
from app.geometry.outline import Outline
from app.values import replace

_SAME: Final = 1e-6  # mm: nearer to the middle than this is in it
_HALVINGS: Final = 24
_EXACT: Final = 1e-9  # mm: a size this near to the one asked for is it
_STEPS: Final = 60


def set_size(
    design: Design, board_id: str | None, catalogue: Catalogue, width: float | None = None, depth: float | None = None
) -> Edit:
    """Make a board as wide and deep as asked [mm]; None leaves a size exactly as it is.

    The far corners move; the datum corner, the parts, openings and areas to keep clear stay where they are.

    Raises:
        NotFoundError: no such board.
        EditError: the size is out of range, or no board of this shape can be so small; says how small it can be.
    """
    board = find_board(design, board_id)
    least, most = catalogue.rule("outline-smallest"), catalogue.rule("outline-largest")
    said: list[str] = []
    after = design
    for axis, name, value, word in ((0, "width", width, "wide"), (1, "depth", depth, "deep")):
        if value is None:
            continue
        number(value, f"The board’s {name} in mm", name, least, most)
        rings = rings_of(find_board(after, board_id))
        bounds = Outline(rings[0]).bounds
        if abs(value - (bounds[axis + 2] - bounds[axis])) < _SAME:
            continue
        after = _sized(after, board_id, axis, value, catalogue)
        said.append(f"{shown(value, design.units)} {word}")
    called = "the deck" if board.role == "deck" else f"the board “{board.name or board.id}”"
    return Edit(after, f"Made {called} {' and '.join(said)}" if said else "Left the board as it was")


def ring_sized(ring: Ring, size: tuple[float, float]) -> Ring:
    """A ring so wide and deep [mm]: the corners beyond its middle move, those in it half.

    Set-backs stay; those that share an edge, with nothing straight between them, go on meeting, so that round sides
    stay round. Where a ring is round at its widest, it does not widen by as much as its corners move: they are moved
    until it is as wide as asked.

    Raises:
        GeometryError: no outline can be so.
    """
    by, made = (0.0, 0.0), ring
    for _ in range(_STEPS):
        x0, y0, x1, y1 = box_of(made)
        off = (size[0] - (x1 - x0), size[1] - (y1 - y0))
        if max(abs(off[0]), abs(off[1])) < _EXACT:
            break
        by = (by[0] + off[0], by[1] + off[1])
        made = _stretched(ring, by)
    return made


def _stretched(ring: Ring, by: tuple[float, float]) -> Ring:
    xs, ys = [corner.x for corner in ring], [corner.y for corner in ring]
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)

    def step(at: float, axis: int) -> float:
        off = at - middle[axis]
        return by[axis] / 2 if abs(off) < _SAME else by[axis] if off > 0 else 0.0

    return meeting(ring, tuple(replace(c, x=c.x + step(c.x, 0), y=c.y + step(c.y, 1)) for c in ring))


def _sized(design: Design, board_id: str | None, axis: int, value: float, catalogue: Catalogue) -> Design:
    rings = rings_of(find_board(design, board_id))
    bounds = Outline(rings[0]).bounds
    sizes = (bounds[2] - bounds[0], bounds[3] - bounds[1])
    now, other = sizes[axis], sizes[1 - axis]
    field = ("width", "depth")[axis]

    def to(size: float) -> Design:
        try:
            rim = ring_sized(rings[0], (size, other) if axis == 0 else (other, size))
        except GeometryError as error:
            raise EditError(str(error), field) from None
        return with_rings(design, board_id, replaced(rings, 0, rim), catalogue, field)

    try:
        return to(value)
    except EditError as error:
        if value > now:
            raise
        least = shown(_least(to, value, now, design.units), design.units)
        way = "Change its corners, openings or set-backs first to go below that"
        word = ("wide", "deep")[axis]
        raise EditError(
            f"The board cannot be {shown(value, design.units)} {word}: {_lower(str(error))} "
            f"With its present corners and openings it can be {least}. {way}.",
            field,
        ) from None


def _least(to: Callable[[float], Design], bad: float, good: float, units: str) -> float:
    """The smallest size that can be, by halving, in whole mm or sixteenths of an inch."""
    for _ in range(_HALVINGS):
        middle = (bad + good) / 2
        try:
            to(middle)
            good = middle
        except EditError:
            bad = middle
    step = 25.4 / 16 if units == "inch" else 1.0
    return math.ceil(good / step - _SAME) * step


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
