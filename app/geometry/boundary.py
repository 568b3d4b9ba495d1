"""The boundary of a board: how far shapes lie inside it, and where it is nearest."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from propcache.api import cached_property

from app.geometry.clearance import ShapeSet, shape_set
from app.geometry.convex import gaps_between
from app.geometry.openings import out_of_opening
from app.geometry.outline import EDGE_NAMES, EdgeName, Outline, first_meeting
from app.geometry.rim import JOIN, Rim, rim_of
from app.geometry.shapes import Shape

if TYPE_CHECKING:
    import shapely

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]
_SAME = 1e-9  # distances nearer than this are one [mm]


class Boundary(Struct, frozen=True, dict=True):
    """An outer outline and inner openings, ready for many distance questions at once.

    Lines and circular arcs are exact; elliptic pieces are chords no more than 0.0005 mm off.
    """

    outline: Outline
    openings: tuple[Outline, ...] = ()

    @cached_property
    def _rim(self) -> Rim:
        return rim_of(self.outline, self.openings)

    @cached_property
    def polygon(self) -> shapely.Polygon:
        """The prepared shapely polygon, chords no more than 0.0005 mm off."""
        import shapely

        found = shapely.Polygon(self.outline.flattened(), [o.flattened() for o in self.openings])
        shapely.prepare(found)
        return found

    def covers(self, other: Boundary, slack: float) -> bool:
        """Whether all the material of ``other`` is here too, but for ``slack`` mm along the rim."""
        return bool(self.polygon.buffer(slack).covers(other.polygon))

    def point_distances(self, x: Floats, y: Floats, edge: EdgeName | None = None) -> tuple[Floats, Floats, Floats]:
        """Unsigned distance [mm] from points to the boundary, and the nearest boundary point.

        Args:
            x: abscissae [mm], shape (n,).
            y: ordinates [mm], shape (n,).
            edge: only the pieces of this edge of the outer outline; None for the whole boundary.

        Returns:
            distance, nearest x, nearest y, each of shape (n,) [mm]; infinite where the edge has no piece.
        """
        return self._rim.of(edge).nearest(x, y)[:3]

    def contains(self, x: Floats, y: Floats) -> Flags:
        """Whether each point lies on the board, shape (n,)."""
        return self._rim.contains(x, y)

    def edges_at(self, x: Floats, y: Floats) -> list[EdgeName | None]:
        """The edge each point of the boundary belongs to; None for an inner opening's."""
        reach = np.stack([self.point_distances(x, y, edge)[0] for edge in EDGE_NAMES], axis=1)
        nearest = reach.argmin(axis=1)
        on_it = reach[np.arange(len(x)), nearest] < 1e-6
        return [EDGE_NAMES[k] if on else None for k, on in zip(nearest.tolist(), on_it.tolist(), strict=True)]

    def square_at(self, x: Floats, y: Floats, edge: EdgeName) -> Flags:
        """Whether what is nearest to each place of an edge's pieces is level or upright, not sloped or round, (n,).

        Args:
            x: abscissae [mm], shape (n,).
            y: ordinates [mm], shape (n,).
            edge: of the outer outline.
        """
        pieces = self._rim.of(edge)
        return pieces.square.nearest(x, y)[0] <= pieces.nearest(x, y)[0] + _SAME

    def inside_distances(
        self, shapes: Sequence[Shape] | ShapeSet, edge: EdgeName | None = None
    ) -> tuple[Floats, Floats, Floats]:
        """Material [mm] between each shape and the boundary, negative by how far it reaches outside.

        For one edge, a shape that hangs over another edge is still inside of this one.

        Args:
            shapes: shapes at their places [mm], n of them.
            edge: only against this edge of the outer outline; None for the whole boundary.

        Returns:
            distance, nearest boundary x, nearest boundary y, each of shape (n,) [mm].
        """
        given = shapes if isinstance(shapes, ShapeSet) else shape_set(shapes)
        found = self._to_rim(given, edge)
        if self.openings and edge is None:
            # Where openings run into each other, a ray cannot tell the board from what they share.
            over = np.arange(len(given)) if self._shared else np.flatnonzero(found[0] < 0)
            for now, exact in zip(found, self._out_of_openings(given.take(over)) if len(over) else (), strict=False):
                now[over] = exact
        return found

    @cached_property
    def _shared(self) -> bool:
        """Whether two openings run into each other."""
        return first_meeting(self.openings) is not None

    def _out_of_openings(self, shapes: ShapeSet) -> tuple[Floats, Floats, Floats]:
        """The same of shapes that are not wholly on the board: past the edge, or the least shift out of an opening."""
        best = Boundary(self.outline).inside_distances(shapes)
        apart = _between_boxes(shapes, np.array([opening.bounds for opening in self.openings]))
        # First the openings that shapes may reach into; then of the others only what may be nearer than these.
        for met in (True, False):
            for opening, gaps in zip(self.openings, apart.T, strict=True):
                rows = np.flatnonzero(((gaps <= 0) == met) & ((gaps < best[0]) | met))
                if not len(rows):
                    continue
                distance, *foot = out_of_opening(opening, shapes.take(rows))
                worse = distance < best[0][rows]
                for now, new in zip(best, (distance, *foot), strict=True):
                    now[rows[worse]] = new[worse]
        return best

    def _to_rim(self, given: ShapeSet, edge: EdgeName | None) -> tuple[Floats, Floats, Floats]:
        whole = self._rim
        rim = whole.of(edge)
        if given.all_circles:
            d, px, py = _signed(rim, whole, given.points[:, 0])
            return d - given.radii, px, py
        distance, px, py = (np.empty(len(given)) for _ in range(3))
        round_ones, odd = np.flatnonzero(given.circular), np.flatnonzero(~given.circular)
        distance[round_ones], px[round_ones], py[round_ones] = _signed(rim, whole, given.points[round_ones, 0])
        distance[odd], px[odd], py[odd] = _of_cores(rim, whole, given.take(odd))
        return distance - given.radii, px, py


def _between_boxes(shapes: ShapeSet, boxes: Floats) -> Floats:
    """Distance of each shape's upright rectangle from each box x0, y0, x1, y1, at least 0, shape (n, m) [mm]."""
    low, high = shapes.points.min(axis=1) - shapes.radii[:, None], shapes.points.max(axis=1) + shapes.radii[:, None]
    beside = np.maximum(boxes[None, :, :2] - high[:, None], low[:, None] - boxes[None, :, 2:]).clip(min=0.0)
    found: Floats = np.hypot(beside[..., 0], beside[..., 1])
    return found


def _signed(rim: Rim, whole: Rim, points: Floats) -> tuple[Floats, Floats, Floats]:
    """Distances of points, negative outside; off the board but over another edge, by the side of the rim asked for."""
    x, y = np.ascontiguousarray(points[:, 0]), np.ascontiguousarray(points[:, 1])
    if not rim.convex:
        return _signed_anyhow(rim, whole, x, y)
    d, px, py = rim.depths(x, y)
    off = np.flatnonzero(np.isnan(d))
    if len(off):
        d[off], px[off], py[off] = _signed_anyhow(rim, whole, x[off], y[off])
    return d, px, py


def _signed_anyhow(rim: Rim, whole: Rim, x: Floats, y: Floats) -> tuple[Floats, Floats, Floats]:
    d, px, py, side = rim.nearest(x, y)
    inside = whole.contains(x, y)
    if rim is not whole and not inside.all():
        off = np.flatnonzero(~inside)
        over_another = side[off] & (d[off] > whole.nearest(x[off], y[off])[0] + _SAME)
        inside[off] = over_another | np.isinf(d[off])  # an edge without a piece has nothing to hang over
    return np.where(inside, d, -d), px, py


def _of_cores(rim: Rim, whole: Rim, shapes: ShapeSet) -> tuple[Floats, Floats, Floats]:
    """Distances of segments and polygons, not yet less their radii.

    A vertex outside tells how far a core reaches outside, or a piece of the rim that it lies across. Else the nearest
    place is at a vertex, or where a corner or a bulge of the rim points at a side, or the rim passes right through.
    """
    n, k = shapes.points.shape[:2]
    signed, px, py = (v.reshape(n, k) for v in _signed(rim, whole, shapes.points.reshape(-1, 2)))
    rows, first = np.arange(n), signed.argmin(axis=1)
    distance, px, py = signed[rows, first], px[rows, first], py[rows, first]
    if rim.convex:  # nothing of it points at a side
        return distance, px, py
    for i, found, foot in (_by_lines(rim, shapes, distance), _by_bulges(rim, shapes, distance)):
        order = np.argsort(found)[::-1]  # the least of each shape is written last
        order = order[found[order] < distance[i[order]]]
        distance[i[order]], px[i[order]], py[i[order]] = found[order], foot[order, 0], foot[order, 1]
    return distance, px, py


def _by_lines(rim: Rim, shapes: ShapeSet, best: Floats) -> tuple[Ints, Floats, Floats]:
    """Shapes, distances and rim points of cores against the lines that may be nearer than ``best``."""
    segments = rim.lines.reshape(-1, 2, 2)
    middle, half = segments.mean(axis=1), np.hypot(*(segments[:, 1] - segments[:, 0]).T) / 2
    i, j = _candidates(shapes, middle, half, best)
    gap = gaps_between(shapes.points[i], segments[j])
    return i, gap.distance, gap.nearest[:, 1]


def _by_bulges(rim: Rim, shapes: ShapeSet, best: Floats) -> tuple[Ints, Floats, Floats]:
    """The same against the arcs that bulge into the board: to the centre less the radius, within the sweep."""
    arcs = rim.bulges
    i, j = _candidates(shapes, arcs[:, :2], arcs[:, 2], best)
    centre, radius = arcs[j, :2], arcs[j, 2]
    gap = gaps_between(centre[:, None], shapes.points[i])
    turn = np.arctan2(gap.direction[:, 1], gap.direction[:, 0]) - arcs[j, 3]
    swept = np.abs((turn + np.pi) % (2 * np.pi) - np.pi) <= arcs[j, 4] + JOIN
    covered = gap.distance < 0
    reached = np.where(covered[:, None], centre, gap.nearest[:, 1])
    # Nearer than the radius, yet on the board: another part of it, across what the arc encloses.
    across = (gap.distance < radius) & rim.contains(reached[:, 0], reached[:, 1])
    keep = (swept | covered) & ~across
    foot = centre + gap.direction * radius[:, None]
    return i[keep], (gap.distance - radius)[keep], foot[keep]


def _candidates(shapes: ShapeSet, centres: Floats, reaches: Floats, best: Floats) -> tuple[Ints, Ints]:
    """Shapes, and the pieces within reach that may be nearer than ``best``, or reach deeper into them."""
    way = shapes.centres[:, None, :] - centres
    bound = np.hypot(way[..., 0], way[..., 1]) - (shapes.reaches - shapes.radii)[:, None] - reaches
    i, j = np.nonzero(bound < best[:, None])
    return i, j
