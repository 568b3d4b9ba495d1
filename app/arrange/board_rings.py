"""The rings of a board, its rim and openings, exchanged: checked first, and no part moved on the material.

Ring 0 is the rim, ring ``k`` the ``k``-th opening. Corners are counted from 0, counter-clockwise, as the outline has
them; a document that lists them clockwise is read turned round. All lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence

from app.arrange.change import with_board
from app.catalogue.load import Catalogue
from app.document.resolve import find_board
from app.document.schema import ArrangementEntry, BoardEntry, CornerEntry, Design, OutlineEntry
from app.document.sense import outline_of
from app.errors import EditError, GeometryError, NotFoundError
from app.geometry.outline import Corner, Outline, first_meeting
from app.model.limits import CORNERS
from app.units import LONGEST, format_exact

Ring = tuple[Corner, ...]
"""Corners once round, counter-clockwise [mm]."""


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
        raise NotFoundError(f"There is no opening {ring}; the board has {len(rings) - 1}. Load the page anew.")
    return rings[ring]


def found_corner(rings: Sequence[Ring], ring: int, index: int) -> Corner:
    """The corner of that number.

    Raises:
        NotFoundError: there is none.
    """
    corners = found_ring(rings, ring)
    if not 0 <= index < len(corners):
        said = f"{ring_name(ring)} has {len(corners)} corners"
        raise NotFoundError(f"There is no corner {index + 1}: {said[0].lower()}{said[1:]}. Load the page anew.")
    return corners[index]


def box_of(ring: Ring) -> tuple[float, float, float, float]:
    """The upright rectangle ``(x0, y0, x1, y1)`` round the corners, as if none were eased [mm]."""
    xs, ys = [c.x for c in ring], [c.y for c in ring]
    return min(xs), min(ys), max(xs), max(ys)


def replaced(rings: Sequence[Ring], ring: int, corners: Sequence[Corner]) -> tuple[Ring, ...]:
    """The rings with one exchanged."""
    return tuple(tuple(corners) if k == ring else old for k, old in enumerate(rings))


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
    was, now = box_of(rings_of(board)[0]), box_of(outlines[0].corners)
    dx, dy = was[0] - now[0], was[1] - now[1]
    new = tuple(tuple(_entry(c, dx, dy) for c in outline.corners) for outline in outlines)
    changes: dict[str, object] = {"outline": OutlineEntry(corners=new[0], openings=new[1:])}
    if (dx, dy) != (0.0, 0.0):
        changes["keep_clear"] = tuple(
            area.model_copy(update={"x": _sum(area.x, dx), "y": _sum(area.y, dy)}) for area in board.keep_clear
        )
        changes["arrangements"] = tuple(_measured_anew(each, dx, dy) for each in board.arrangements)
    return with_board(design, board.model_copy(update=changes))


def _checked(rings: Sequence[Ring], catalogue: Catalogue, field: str) -> list[Outline]:
    outlines = []
    for k, ring in enumerate(rings):
        if len(ring) > CORNERS.most:
            raise EditError(f"{ring_name(k)} has up to {CORNERS.most} corners, got {len(ring)}. Remove some.", field)
        try:
            outlines.append(Outline(tuple(ring)))
        except GeometryError as error:
            raise EditError(f"{ring_name(k)} cannot be so. {error}" if k else str(error), field) from None
        if outlines[-1].corners != tuple(ring):  # an outline turns round what goes clockwise
            said = "would be turned inside out: a side has passed the one across from it. Move it less far."
            raise EditError(f"{ring_name(k)} {said}", field)
    x0, y0, x1, y1 = box_of(outlines[0].corners)
    least, most = catalogue.rule("outline-smallest"), catalogue.rule("outline-largest")
    if not least <= min(x1 - x0, y1 - y0) <= max(x1 - x0, y1 - y0) <= most:
        got = f"{format_exact(round(x1 - x0, 1))} × {format_exact(round(y1 - y0, 1))} mm"
        way = "smaller" if max(x1 - x0, y1 - y0) > most else "larger"
        span = f"from {format_exact(least)} to {format_exact(most)} mm"
        raise EditError(f"A board is {span} wide and deep, got {got}. Make it {way}.", field)
    for k, inner in enumerate(outlines[1:], 1):
        if not outlines[0].encloses(inner):
            said = "would not lie wholly inside the board, or would touch its edge"
            raise EditError(f"Opening {k} {said}. Move it, make it smaller, or remove it first.", field)
    if (pair := first_meeting(outlines[1:])) is not None:
        said = f"Openings {pair[0] + 1} and {pair[1] + 1} would touch or overlap. Move one, or make it smaller."
        raise EditError(said, field)
    return outlines


def _entry(corner: Corner, dx: float, dy: float) -> CornerEntry:
    ease = corner.ease if corner.ease and all(corner.ease) else None
    return CornerEntry(x=_sum(corner.x, dx), y=_sum(corner.y, dy), ease=ease)


def _measured_anew(arrangement: ArrangementEntry, dx: float, dy: float) -> ArrangementEntry:
    """An arrangement whose datum edges have moved by ``(-dx, -dy)``."""
    placements = tuple(p.model_copy(update={"x": _sum(p.x, dx), "y": _sum(p.y, dy)}) for p in arrangement.placements)
    stations = tuple(
        # A front row before the front edge cannot be said of a station; its parts then stand where they were.
        s.model_copy(update={"centre": _sum(s.centre, dx), "front": max(0.0, _sum(s.front, dy))})
        for s in arrangement.stations
    )
    return arrangement.model_copy(update={"placements": placements, "stations": stations})


def _sum(value: float, shift: float) -> float:
    """Exact where nothing is added; else without what binary arithmetic leaves behind the ninth decimal."""
    return value if shift == 0.0 else min(max(round(value + shift, 9), -LONGEST), LONGEST) + 0.0
