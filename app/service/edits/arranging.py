"""Changes to several parts at once, and a part placed by another, as functions from a design to an edit."""

from __future__ import annotations

from collections.abc import Sequence

from app.arrange.change import Edit
from app.arrange.placement import relative, several
from app.arrange.placement.align import align
from app.arrange.placement.mirror import mirror, mirror_copies
from app.arrange.placement.spacing import space
from app.arrange.station.copy_station import copy_station
from app.catalogue.load import catalogue
from app.document.schema import Design
from app.document.where import Where
from app.service.edits.changes import DesignChange


def aligned(where: Where, placements: Sequence[str], how: str) -> DesignChange:
    """Bring the centres of placements to one line: left, centre, right, front, middle or back."""
    return lambda design: align(design, where.board, where.arrangement, placements, how)


def spaced(where: Where, placements: Sequence[str], how: str) -> DesignChange:
    """Space placements evenly, across or along; the outermost stay."""
    return lambda design: space(design, where.board, where.arrangement, placements, how)


def mirrored(where: Where, placements: Sequence[str], *, copies: bool) -> DesignChange:
    """Move placements to their mirror places about the centre line, or place copies there."""
    make = mirror_copies if copies else mirror
    return lambda design: make(design, where.board, where.arrangement, placements)


def station_copied(where: Where, station: str, *, mirror: bool) -> DesignChange:
    """Copy a station to the other player, as its mirror image or as it is."""
    return lambda design: copy_station(design, where.board, where.arrangement, station, mirror=mirror)


def turned(where: Where, placements: Sequence[str], by: float, *, together: bool) -> DesignChange:
    """Turn placements by an angle [degrees], each about its own middle or all about the middle of them."""
    return lambda design: several.turn(design, where.board, where.arrangement, placements, by, together=together)


def shifted(where: Where, placements: Sequence[str], dx: float, dy: float) -> DesignChange:
    """Move placements by exactly ``(dx, dy)`` [mm]."""
    return lambda design: several.shift(design, where.board, where.arrangement, placements, dx, dy)


def all_duplicated(where: Where, placements: Sequence[str], grid: float) -> DesignChange:
    """Place copies of placements beside them, all together."""
    return lambda design: several.duplicate_all(design, where.board, where.arrangement, placements, catalogue(), grid)


def locked(where: Where, placements: Sequence[str], *, lock: bool) -> DesignChange:
    """Lock placements where they are, or let them go."""
    return lambda design: several.lock(design, where.board, where.arrangement, placements, locked=lock)


def together_set(
    where: Where, placements: Sequence[str], *, part: str = "", angle: float | None = None
) -> DesignChange:
    """Give placements one part and one angle [degrees] in one step; an empty one is left as it is with each."""

    def change(design: Design) -> Edit:
        after, said = design, list[str]()
        if part:
            done = several.set_parts(after, where.board, where.arrangement, placements, part, catalogue())
            after, said = done.design, [done.summary]
        if angle is not None:
            done = several.set_angles(after, where.board, where.arrangement, placements, angle)
            after, said = done.design, [*said, done.summary]
        return Edit(after, "; ".join(said) or f"Left {len(placements)} parts as they were")

    return change


def placed_beside(where: Where, placement: str, to: str, dx: float | None, dy: float | None) -> DesignChange:
    """Place a part by its distance to the right and to the back of another [mm]; None keeps the present one exactly."""

    def change(design: Design) -> Edit:
        now = relative.offset(design, where.board, where.arrangement, placement, to)
        x, y = now[0] if dx is None else dx, now[1] if dy is None else dy
        return relative.place_beside(design, where.board, where.arrangement, placement, to, x, y)

    return change


def placed_away(where: Where, placement: str, to: str, distance: float | None, angle: float | None) -> DesignChange:
    """Place a part by distance [mm] and direction [degrees] from another; None keeps the present one exactly."""

    def change(design: Design) -> Edit:
        far, way = relative.bearing(relative.offset(design, where.board, where.arrangement, placement, to), (0.0, 0.0))
        far, way = far if distance is None else distance, way if angle is None else angle
        return relative.place_away(design, where.board, where.arrangement, placement, to, far, way)

    return change
