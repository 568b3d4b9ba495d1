"""Corners of a board's rim and openings: place, set back, slope; added, cut off, removed; an edge moved whole."""

from __future__ import annotations

import math

from app.arrange.board.rings import Ring, corner_name, found_corner, found_ring, meeting, replaced, rings_of, with_rings
from app.arrange.change import Edit, number, shown
from app.catalogue.load import Catalogue
from app.document.resolve import find_board
from app.document.schema import Design
from app.errors import EditError
from app.geometry.outline import Corner, edge_of
from app.model.limits import CORNERS
from app.units import LONGEST
from app.values import replace

CornerIndex = tuple[int, int]
"""Ring and corner, each from 0."""

_LEAST = 1e-6  # mm: an edge shorter than this is none


def set_corner(
    design: Design,
    board_id: str | None,
    corner: CornerIndex,
    catalogue: Catalogue,
    *,
    x: float | None = None,
    y: float | None = None,
    before: float | None = None,
    after: float | None = None,
    run: float | None = None,
    rise: float | None = None,
) -> Edit:
    """Place a corner and set it back, and set the slope of the edge from it; None leaves a value exactly as it is.

    Args:
        design: the design.
        board_id: the board; None for the deck.
        corner: the corner.
        catalogue: for the largest board.
        x: from the left edge [mm].
        y: from the front edge [mm].
        before: how far ahead of it its set-back begins, on the edge before it [mm]; 0 for none.
        after: how far past it its set-back ends, on the edge after it [mm]; 0 for none.
        run: from it to the next corner, to the right [mm]; the next corner moves.
        rise: from it to the next corner, away from the player [mm]; the next corner moves.

    Raises:
        NotFoundError: no such board or corner.
        EditError: a value is not allowed, or the outline is not possible like that.
    """
    rings = rings_of(find_board(design, board_id))
    ring, index = corner
    old, corners = found_corner(rings, ring, index), list(found_ring(rings, ring))
    x = None if x is None else number(x, "The distance from the left edge", "x")
    y = None if y is None else number(y, "The distance from the front edge", "y")
    said, name = [], corner_name(ring, index)
    new = replace(old, x=old.x if x is None else x, y=old.y if y is None else y)
    if (new.x, new.y) != (old.x, old.y):
        said.append(f"Moved {name} to {shown(new.x, design.units)}, {shown(new.y, design.units)}")
    new = replace(new, setback=_set_back(old, before, after))
    if new.setback != old.setback:
        how = " × ".join(shown(v, design.units) for v in new.setback) if new.setback else ""
        said.append(f"Set {name} back by {how}" if how else f"Made {name} sharp")
    corners[index] = new
    if run is not None or rise is not None:
        following = (index + 1) % len(corners)
        corners[following] = _sloped(old, new, corners[following], run, rise)
        slope = f"{shown(corners[following].x - new.x, design.units)} right, "
        slope += f"{shown(corners[following].y - new.y, design.units)} back"
        said.append(f"Sloped the edge from {name} to run {slope}")
    if not said:
        return Edit(design, f"Left {name} as it was")
    corners = list(meeting(found_ring(rings, ring), tuple(corners)))
    asked = {"x": x, "y": y, "before": before, "after": after, "run": run, "rise": rise}
    field = next((k for k, value in asked.items() if value is not None), "form")
    return Edit(with_rings(design, board_id, replaced(rings, ring, corners), catalogue, field), "; ".join(said))


def _set_back(old: Corner, before: float | None, after: float | None) -> tuple[float, float] | None:
    """The set-back asked for. Of a sharp corner, one offset counts for both; an offset of 0 makes it sharp again."""
    for value, which in ((before, "before"), (after, "after")):
        if value is not None:
            number(value, "The set-back of a corner", which, 0, LONGEST)
    if before is None and after is None:
        return old.setback
    if before is not None and after is not None:
        if (before == 0) != (after == 0):
            wrong = "before" if before == 0 else "after"
            raise EditError(
                "A corner set-back needs a distance on both edges. Enter both above 0, or both 0 for a sharp corner.",
                wrong,
            )
        return (before, after) if before else None
    given = before if before is not None else after
    if not given:
        return None
    kept = old.setback or (given, given)
    return (given, kept[1]) if before is not None else (kept[0], given)


def _sloped(old: Corner, new: Corner, following: Corner, run: float | None, rise: float | None) -> Corner:
    """The next corner for a slope; what is not asked stays as it was before the corner moved."""
    run = following.x - old.x if run is None else number(run, "The run of the slope", "run")
    rise = following.y - old.y if rise is None else number(rise, "The rise of the slope", "rise")
    if math.hypot(run, rise) < _LEAST:
        said = "A slope needs a run or a rise. Enter one of them, or delete the corner."
        raise EditError(said, "run")
    return replace(following, x=new.x + run, y=new.y + rise)


def add_corner(design: Design, board_id: str | None, corner: CornerIndex, catalogue: Catalogue) -> Edit:
    """Put a corner in the middle of the straight part of the edge after a corner.

    Raises:
        NotFoundError: no such board or corner.
        EditError: there are as many corners as can be, or set-backs leave nothing straight between them.
    """
    rings = rings_of(find_board(design, board_id))
    ring, index = corner
    here, corners = found_corner(rings, ring, index), found_ring(rings, ring)
    if len(corners) >= CORNERS.most:
        raise EditError(f"There are {CORNERS.most} corners, the most there can be. Delete some first.", "form")
    there = corners[(index + 1) % len(corners)]
    length = math.dist((here.x, here.y), (there.x, there.y))
    start, end = here.setback[1] if here.setback else 0.0, length - (there.setback[0] if there.setback else 0.0)
    if end - start < _LEAST:
        said = f"The edge after {corner_name(ring, index)} is all set-back, with nothing straight left for a corner"
        raise EditError(f"{said}. Reduce the set-backs at its ends first.", "form")
    middle = _along(here, there, (start + end) / 2)
    new = (*corners[: index + 1], middle, *corners[index + 1 :])
    after = with_rings(design, board_id, replaced(rings, ring, new), catalogue)
    return Edit(after, f"Added a corner after {corner_name(ring, index)}")


def remove_corner(design: Design, board_id: str | None, corner: CornerIndex, catalogue: Catalogue) -> Edit:
    """Take a corner out; the edge then goes straight past it.

    Raises:
        NotFoundError: no such board or corner.
        EditError: an outline of three corners keeps them, or the rest cannot be an outline.
    """
    rings = rings_of(find_board(design, board_id))
    ring, index = corner
    found_corner(rings, ring, index)
    corners = found_ring(rings, ring)
    if len(corners) <= 3:
        way = "Delete the whole opening instead" if ring else "Move its corners instead"
        raise EditError(f"An outline needs at least 3 corners, and has 3. {way}.", "form")
    new = (*corners[:index], *corners[index + 1 :])
    after = with_rings(design, board_id, replaced(rings, ring, new), catalogue)
    return Edit(after, f"Deleted {corner_name(ring, index)}")


def cut_corner(
    design: Design, board_id: str | None, corner: CornerIndex, before: float, after: float, catalogue: Catalogue
) -> Edit:
    """Cut a corner off straight, from ``before`` mm ahead of it to ``after`` mm past it: two corners for one.

    Raises:
        NotFoundError: no such board or corner.
        EditError: an offset is not above 0, or is longer than its edge has straight.
    """
    rings = rings_of(find_board(design, board_id))
    ring, index = corner
    here, corners = found_corner(rings, ring, index), found_ring(rings, ring)
    sides: list[Corner] = []
    for value, field, other in (
        (before, "cut-before", corners[index - 1]),
        (after, "cut-after", corners[(index + 1) % len(corners)]),
    ):
        set_back = (other.setback[1] if field == "cut-before" else other.setback[0]) if other.setback else 0.0
        free = math.dist((here.x, here.y), (other.x, other.y)) - set_back
        number(value, "The offset of a cut in mm", field, 0, LONGEST, above=True)
        if value > free - _LEAST:
            said = f"The cut takes {shown(value, design.units)} of an edge that has {shown(free, design.units)}"
            raise EditError(f"{said}. Enter less than that.", field)
        sides.append(_along(here, other, value))
    new = (*corners[:index], *sides, *corners[index + 1 :])
    made = with_rings(design, board_id, replaced(rings, ring, new), catalogue, "cut-before")
    size = f"{shown(before, design.units)} × {shown(after, design.units)}"
    return Edit(made, f"Cut off {corner_name(ring, index)} by {size}")


def edge_normal(ring: Ring, index: int) -> tuple[float, float]:
    """The unit normal of the edge after a corner, out of a ring that goes anticlockwise."""
    a, b = ring[index], ring[(index + 1) % len(ring)]
    length = math.dist((a.x, a.y), (b.x, b.y))
    return (b.y - a.y) / length, (a.x - b.x) / length


def edge_name(ring: int, corners: Ring, index: int) -> str:
    """``the left edge``, where only one edge is upright on that side; else ``the edge after corner 3``."""
    of = f" of opening {ring}" if ring else ""
    count = len(corners)
    sides = [_side(corners[k], corners[(k + 1) % count]) for k in range(count)]
    side = sides[index]
    if side and sides.count(side) == 1:
        return f"the {side} {'side' if ring else 'edge'}{of}"
    return f"the edge after corner {index + 1}{of}"


def _side(a: Corner, b: Corner) -> str:
    """Which side a level or upright edge of a ring is on; of an opening, as one sees it from within; else nothing."""
    if min(abs(a.x - b.x), abs(a.y - b.y)) > _LEAST:
        return ""
    return edge_of((a.x, a.y), (b.x, b.y))


def _along(here: Corner, there: Corner, by: float) -> Corner:
    """A sharp corner ``by`` mm from one corner toward another, without what binary arithmetic leaves behind."""
    t = by / math.dist((here.x, here.y), (there.x, there.y))
    return Corner(round(here.x + (there.x - here.x) * t, 9), round(here.y + (there.y - here.y) * t, 9))
