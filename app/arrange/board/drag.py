"""Handles of a board as edits: what dragging one by so much comes to.

A handle is named by what it moves: ``corner-0-2`` (ring, corner), ``edge-0-2`` (the edge after that corner),
``before-0-2`` and ``after-0-2`` (the two ends of its set-back), ``opening-1``, ``clear-0`` (an area to keep clear) and
``size-0`` (its far corner).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from msgspec import Struct

from app.arrange.board.below import found_area, set_area
from app.arrange.board.corners import edge_name, edge_normal, set_corner
from app.arrange.board.openings import move_opening
from app.arrange.board.rings import (
    Ring,
    box_of,
    corner_name,
    found_corner,
    found_ring,
    meeting,
    replaced,
    rings_of,
    with_rings,
)
from app.arrange.change import Edit, shown
from app.catalogue.load import Catalogue
from app.document.resolve import find_board
from app.document.schema import Design
from app.errors import NotFoundError
from app.values import replace

_NAME: Final = re.compile(r"(corner|edge|before|after)-(\d{1,3})-(\d{1,3})|(opening|clear|size)-(\d{1,3})")
_HOLD: Final = 2.5
"""Steps of the grid within which a corner falls in line with another, and a hand counts as still."""


class Grip(Struct, frozen=True):
    """What a handle moves: its kind, the ring and the corner, or the number of the opening or area."""

    kind: str
    ring: int
    index: int


class Pull(Struct, frozen=True):
    """How a handle is dragged.

    Args:
        dx: to the right [mm].
        dy: away from the player [mm].
        grid: step that places fall on [mm]; 0 for none.
        alone: whether one end of an even set-back is moved without the other.
    """

    dx: float
    dy: float
    grid: float = 0.0
    alone: bool = False


def grip_of(handle: str) -> Grip:
    """What a handle of that name moves.

    Raises:
        NotFoundError: no handle is so named.
    """
    found = _NAME.fullmatch(handle)
    if found is None:
        raise NotFoundError(f"There is no handle “{handle[:40]}”. Reload the page.")
    if found[1]:
        return Grip(found[1], int(found[2]), int(found[3]))
    return Grip(found[4], int(found[5]), 0)


def drag(design: Design, board_id: str | None, handle: str, pull: Pull, catalogue: Catalogue) -> Edit:
    """Drag a handle.

    Raises:
        NotFoundError: no such board or handle.
        EditError: no board can be so.
    """
    grip = grip_of(handle)
    if grip.kind in ("clear", "size"):
        return _drag_area(design, board_id, grip, pull)
    rings = rings_of(find_board(design, board_id))
    if grip.kind == "opening":
        x0, y0, _, _ = box_of(found_ring(rings, grip.ring))
        dx, dy = _landed(x0, pull.dx, pull.grid), _landed(y0, pull.dy, pull.grid)
        return move_opening(design, board_id, grip.ring, dx, dy, catalogue)
    corner = found_corner(rings, grip.ring, grip.index)
    at_corner = (grip.ring, grip.index)
    if grip.kind == "corner":
        ring = rings[grip.ring]
        beside = (ring[grip.index - 1], corner, ring[(grip.index + 1) % len(ring)])
        x = _in_line(corner.x + pull.dx, (c.x for c in beside), pull.grid)
        y = _in_line(corner.y + pull.dy, (c.y for c in beside), pull.grid)
        return set_corner(design, board_id, at_corner, catalogue, x=x, y=y)
    if grip.kind == "edge":
        return _drag_edge(design, board_id, rings, grip, pull, catalogue)
    return _drag_setback(design, board_id, rings, grip, pull, catalogue)


def _drag_edge(
    design: Design, board_id: str | None, rings: tuple[Ring, ...], grip: Grip, pull: Pull, catalogue: Catalogue
) -> Edit:
    """Both ends of an edge, straight out or in; an upright or level edge lands on the grid."""
    ring = rings[grip.ring]
    nx, ny = edge_normal(ring, grip.index)
    by = pull.dx * nx + pull.dy * ny
    start = ring[grip.index]
    if abs(nx) > 1 - 1e-9 or abs(ny) > 1 - 1e-9:
        nx, ny = round(nx), round(ny)
        by = _landed(start.x, by * nx, pull.grid) * nx if nx else _landed(start.y, by * ny, pull.grid) * ny
    else:
        by = _on_grid(by, pull.grid)
    ends = {grip.index, (grip.index + 1) % len(ring)}
    moved = tuple(replace(c, x=c.x + by * nx, y=c.y + by * ny) if k in ends else c for k, c in enumerate(ring))
    after = with_rings(design, board_id, replaced(rings, grip.ring, meeting(ring, moved)), catalogue)
    name = edge_name(grip.ring, ring, grip.index)
    said = f"Moved {name} {'out' if by > 0 else 'in'} by {shown(abs(by), design.units)}"
    return Edit(after if by else design, said if by else f"Left {name} as it was")


def _drag_setback(
    design: Design, board_id: str | None, rings: tuple[Ring, ...], grip: Grip, pull: Pull, catalogue: Catalogue
) -> Edit:
    """One end of a set-back along its edge; the other goes along while they are even."""
    ring, corner = rings[grip.ring], rings[grip.ring][grip.index]
    other = ring[grip.index - 1] if grip.kind == "before" else ring[(grip.index + 1) % len(ring)]
    length = ((other.x - corner.x) ** 2 + (other.y - corner.y) ** 2) ** 0.5
    along = (pull.dx * (other.x - corner.x) + pull.dy * (other.y - corner.y)) / length
    before, after = corner.setback or (0.0, 0.0)
    now = before if grip.kind == "before" else after
    new = max(0.0, _on_grid(now + along, pull.grid))
    even = abs(before - after) < 1e-9
    at_corner = (grip.ring, grip.index)
    if new == now:
        return Edit(design, f"Left {corner_name(*at_corner)} as it was")
    if even and not (pull.alone and corner.setback):
        return set_corner(design, board_id, at_corner, catalogue, before=new, after=new)
    if grip.kind == "before":
        return set_corner(design, board_id, at_corner, catalogue, before=new)
    return set_corner(design, board_id, at_corner, catalogue, after=new)


def _drag_area(design: Design, board_id: str | None, grip: Grip, pull: Pull) -> Edit:
    area = found_area(find_board(design, board_id), grip.ring)
    if grip.kind == "clear":
        x, y = area.x + _landed(area.x, pull.dx, pull.grid), area.y + _landed(area.y, pull.dy, pull.grid)
        return set_area(design, board_id, grip.ring, x=x, y=y)
    width = area.width + _landed(area.x + area.width, pull.dx, pull.grid)
    height = area.height + _landed(area.y + area.height, pull.dy, pull.grid)
    return set_area(design, board_id, grip.ring, width=width, height=height)


def _in_line(value: float, others: Iterable[float], grid: float) -> float:
    """The place on the grid, or in line with a corner near by; as it is without a grid."""
    if grid <= 0:
        return round(value, 9)
    near = min(others, key=lambda other: abs(other - value))
    return near if abs(near - value) <= _HOLD * grid else _on_grid(value, grid)


def _landed(at: float, by: float, grid: float) -> float:
    """The shift that brings ``at`` to the grid near ``at + by``; none for none."""
    return round(_on_grid(at + by, grid) - at, 9) if by else 0.0


def _on_grid(value: float, grid: float) -> float:
    return round(round(value / grid) * grid, 6) if grid > 0 else round(value, 9)


def datum_shift(before: Design, after: Design, board_id: str | None, handle: str) -> tuple[float, float]:
    """How much farther everything is from the datum edges than before a drag, because those edges were moved [mm].

    Raises:
        NotFoundError: no such board or handle.
    """
    grip = grip_of(handle)
    was, now = (rings_of(find_board(design, board_id))[0] for design in (before, after))
    moved = {grip.index, (grip.index + 1) % len(was)} if grip.kind == "edge" else {grip.index}
    still = next((k for k in range(len(was)) if grip.kind not in ("corner", "edge") or k not in moved), 0)
    if grip.ring or len(now) != len(was):
        return 0.0, 0.0
    return now[still].x - was[still].x, now[still].y - was[still].y
