"""The rings of a board, its rim and openings, exchanged: checked first, and no part moved on the material.

Ring 0 is the rim, ring ``k`` the ``k``-th opening. Corners are counted from 0, anticlockwise, as the outline has
them; a document that lists them clockwise is read turned round. All lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from app.arrange.board.datum import measured_anew
from app.arrange.change import with_board
from app.catalogue.load import Catalogue
from app.document.outlines import outline_of
from app.document.resolve import find_board
from app.document.schema import BoardEntry, Design
from app.errors import EditError, GeometryError, NotFoundError
from app.geometry.outline import Corner, Outline, first_meeting
from app.model.limits import CORNERS
from app.units import format_exact
from app.values import replace

Ring = tuple[Corner, ...]
"""Corners once round, anticlockwise [mm]."""


_SAME: Final = 1e-9  # mm: an edge that has moved by less has not
_MET: Final = 1e-6  # mm: set-backs with less than this between them meet


def rings_of(board: BoardEntry) -> tuple[Ring, ...]:
    """The rim, then the openings.

    Raises:
        GeometryError: the document holds an outline that cannot exist.
    """
    entries = (board.outline.corners, *board.outline.openings)
    return tuple(outline_of(entry).corners for entry in entries)


def ring_name(ring: int) -> str:
    """``The outline``, or ``Opening 2``."""
    return f"Opening {ring}" if ring else "The outline"


def corner_name(ring: int, index: int) -> str:
    """``corner 3``, or ``corner 3 of opening 2``."""
    return f"corner {index + 1} of opening {ring}" if ring else f"corner {index + 1}"


def found_ring(rings: Sequence[Ring], ring: int) -> Ring:
    """The ring of that number.

    Raises:
        NotFoundError: there is none.
    """
    if not 0 <= ring < len(rings):
        raise NotFoundError(f"There is no opening {ring}; the board has {len(rings) - 1}. Reload the page.")
    return rings[ring]


def found_corner(rings: Sequence[Ring], ring: int, index: int) -> Corner:
    """The corner of that number.

    Raises:
        NotFoundError: there is none.
    """
    corners = found_ring(rings, ring)
    if not 0 <= index < len(corners):
        said = f"{ring_name(ring)} has {len(corners)} corners"
        raise NotFoundError(f"There is no corner {index + 1}: {said[0].lower()}{said[1:]}. Reload the page.")
    return corners[index]


def box_of(ring: Ring) -> tuple[float, float, float, float]:
    """The upright rectangle ``(x0, y0, x1, y1)`` round a ring, its corners as they are set back [mm].

    Raises:
        GeometryError: no outline can be so.
    """
    return Outline(ring).bounds


def replaced(rings: Sequence[Ring], ring: int, corners: Sequence[Corner]) -> tuple[Ring, ...]:
    """The rings with one exchanged."""
    return tuple(tuple(corners) if k == ring else old for k, old in enumerate(rings))


def meeting(old: Ring, ring: Ring) -> Ring:
    """A ring whose corners have moved; set-backs that met, with nothing straight between, share their edge as before.

    So what is round stays round; other set-backs stay as long as they are.
    """
    setbacks = [list(corner.setback or (0.0, 0.0)) for corner in ring]
    for k, here in enumerate(ring):
        other = (k + 1) % len(ring)
        used = sum(_shared(old, k))
        now = math.dist((here.x, here.y), (ring[other].x, ring[other].y))
        was = math.dist((old[k].x, old[k].y), (old[other].x, old[other].y))
        if abs(now - was) > _SAME and used > was - _MET and (setbacks[k][1], setbacks[other][0]) == _shared(old, k):
            setbacks[k][1], setbacks[other][0] = setbacks[k][1] * now / used, setbacks[other][0] * now / used
    return tuple(
        replace(corner, setback=(before, after) if corner.setback else None)
        for corner, (before, after) in zip(ring, setbacks, strict=True)
    )


def _shared(ring: Ring, k: int) -> tuple[float, float]:
    """What the two ends of an edge are set back by along it [mm]."""
    here, other = ring[k].setback, ring[(k + 1) % len(ring)].setback
    return here[1] if here else 0.0, other[0] if other else 0.0


def with_rings(
    design: Design, board_id: str | None, rings: Sequence[Ring], catalogue: Catalogue, field: str = "form"
) -> Design:
    """The design with the rings of a board exchanged; the place of each is that on the board as it was.

    Where the left or the front edge has moved, everything on the board is measured anew from it, so that all stays
    where it is on the material.

    Args:
        design: the design.
        board_id: the board; None for the deck.
        rings: the rim, then the openings.
        catalogue: for the smallest and largest board.
        field: form field that what is wrong belongs beside.

    Raises:
        NotFoundError: no such board.
        EditError: no board can have such an outline.
    """
    board = find_board(design, board_id)
    outlines = _checked(rings, catalogue, field)
    was, now = outline_of(board.outline.corners).bounds, outlines[0].bounds
    dx, dy = (0.0 if abs(was[k] - now[k]) < _SAME else was[k] - now[k] for k in (0, 1))
    return with_board(design, measured_anew(board, outlines, dx, dy))


def _checked(rings: Sequence[Ring], catalogue: Catalogue, field: str) -> list[Outline]:
    outlines = []
    for k, ring in enumerate(rings):
        if len(ring) > CORNERS.most:
            raise EditError(f"{ring_name(k)} has up to {CORNERS.most} corners, got {len(ring)}. Delete some.", field)
        try:
            outlines.append(Outline(tuple(ring)))
        except GeometryError as error:
            raise EditError(f"{ring_name(k)} is not possible like that. {error}" if k else str(error), field) from None
        if outlines[-1].corners != tuple(ring):  # an outline turns round what goes clockwise
            said = "would turn inside out: one side has passed the opposite one. Move it less."
            raise EditError(f"{ring_name(k)} {said}", field)
    x0, y0, x1, y1 = outlines[0].bounds
    least, most = catalogue.rule("outline-smallest"), catalogue.rule("outline-largest")
    if not least <= min(x1 - x0, y1 - y0) <= max(x1 - x0, y1 - y0) <= most:
        got = f"{format_exact(round(x1 - x0, 1))} × {format_exact(round(y1 - y0, 1))} mm"
        way = "smaller" if max(x1 - x0, y1 - y0) > most else "larger"
        span = f"from {format_exact(least)} to {format_exact(most)} mm"
        raise EditError(f"A board is {span} wide and deep, got {got}. Make it {way}.", field)
    for k, inner in enumerate(outlines[1:], 1):
        if not outlines[0].encloses(inner):
            said = "would not be wholly inside the board, or would touch its edge"
            raise EditError(f"Opening {k} {said}. Move it, make it smaller or delete it first.", field)
    if (pair := first_meeting(outlines[1:])) is not None:
        said = f"Openings {pair[0] + 1} and {pair[1] + 1} would touch or overlap. Move one, or make it smaller."
        raise EditError(said, field)
    return outlines
