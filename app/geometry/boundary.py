"""The boundary of a board as arrays: how far shapes lie inside it, and where it is nearest."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from app.geometry.outline import EDGE_NAMES, ArcPiece, EdgeName, LinePiece, Outline, edge_of
from app.geometry.shapes import Shape

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Boundary:
    """An outer outline and inner openings, ready for many distance questions at once.

    Lines and circular arcs are exact; elliptic pieces are chords no more than 0.0005 mm off.
    """

    outline: Outline
    openings: tuple[Outline, ...] = ()

    @cached_property
    def _lines(self) -> tuple[Floats, Ints]:
        """Rows (ax, ay, bx, by) and the index of the edge each belongs to; −1 for an opening."""
        rows: list[tuple[float, ...]] = []
        edges: list[int] = []
        for outline, outer in ((self.outline, True), *((o, False) for o in self.openings)):
            for piece in outline.pieces:
                if isinstance(piece, ArcPiece):
                    continue
                points = [piece.a, piece.b] if isinstance(piece, LinePiece) else _chords(piece)
                for a, b in zip(points, points[1:], strict=False):
                    rows.append((*a, *b))
                    edges.append(EDGE_NAMES.index(edge_of(a, b)) if outer else -1)
        return np.array(rows, float).reshape(-1, 4), np.array(edges, np.intp)

    @cached_property
    def _arcs(self) -> tuple[Floats, Ints]:
        """Rows (cx, cy, radius, mid angle, half sweep) [mm, rad] and the edge each belongs to."""
        rows: list[tuple[float, ...]] = []
        edges: list[int] = []
        for outline, outer in ((self.outline, True), *((o, False) for o in self.openings)):
            for piece in outline.pieces:
                if isinstance(piece, ArcPiece):
                    start = math.atan2(piece.a[1] - piece.centre[1], piece.a[0] - piece.centre[0])
                    half = math.radians(piece.sweep) / 2
                    rows.append((*piece.centre, piece.radius, start + half, abs(half)))
                    edges.append(EDGE_NAMES.index(edge_of(piece.a, piece.b)) if outer else -1)
        return np.array(rows, float).reshape(-1, 5), np.array(edges, np.intp)

    @cached_property
    def polygon(self) -> object:
        """The prepared shapely polygon, chords no more than 0.0005 mm off."""
        import shapely

        found = shapely.polygons(
            shapely.linearrings(self.outline.flattened()),
            [shapely.linearrings(o.flattened()) for o in self.openings] or None,
        )
        shapely.prepare(found)
        return found

    def point_distances(self, x: Floats, y: Floats, edge: EdgeName | None = None) -> tuple[Floats, Floats, Floats]:
        """Unsigned distance [mm] from points to the boundary, and the nearest boundary point.

        Args:
            x: abscissae [mm], shape (n,).
            y: ordinates [mm], shape (n,).
            edge: only the pieces of this edge of the outer outline; None for the whole boundary.

        Returns:
            distance, nearest x, nearest y, each of shape (n,) [mm]; infinite where the edge has no piece.
        """
        lines, line_edges = self._lines
        arcs, arc_edges = self._arcs
        if edge is not None:
            wanted = EDGE_NAMES.index(edge)
            lines, arcs = lines[line_edges == wanted], arcs[arc_edges == wanted]
        best = np.full(x.shape, np.inf)
        nx, ny = np.zeros(x.shape), np.zeros(x.shape)
        for candidates in (_to_lines(x, y, lines), _to_arcs(x, y, arcs)):
            if candidates is None:
                continue
            d, px, py = candidates
            k = np.argmin(d, axis=1)
            rows = np.arange(len(x))
            closer = d[rows, k] < best
            best = np.where(closer, d[rows, k], best)
            nx, ny = np.where(closer, px[rows, k], nx), np.where(closer, py[rows, k], ny)
        return best, nx, ny

    def contains(self, x: Floats, y: Floats) -> npt.NDArray[np.bool_]:
        """Whether each point lies on the board, shape (n,)."""
        import shapely

        return np.asarray(shapely.contains_xy(self.polygon, x, y), bool)

    def inside_distances(
        self, shapes: Sequence[Shape], edge: EdgeName | None = None
    ) -> tuple[Floats, Floats, Floats]:
        """Material [mm] between each shape and the boundary, negative by how far it reaches outside.

        Args:
            shapes: shapes at their places [mm], n of them.
            edge: only against this edge of the outer outline; None for the whole boundary.

        Returns:
            distance, nearest boundary x, nearest boundary y, each of shape (n,) [mm].
        """
        if all(s.is_circle for s in shapes):
            owner = None
            x = np.array([s.core[0][0] for s in shapes], float)
            y = np.array([s.core[0][1] for s in shapes], float)
        else:
            owner = np.repeat(np.arange(len(shapes)), [len(s.core) for s in shapes])
            x = np.array([p[0] for s in shapes for p in s.core], float)
            y = np.array([p[1] for s in shapes for p in s.core], float)
        radius = np.array([s.radius for s in shapes], float)
        if not len(shapes):
            return radius, radius, radius
        d, px, py = self.point_distances(x, y, edge)
        signed = np.where(self.contains(x, y), d, -d)
        if owner is None:
            return signed - radius, px, py
        order = np.lexsort((signed, owner))
        first = order[np.searchsorted(owner[order], np.arange(len(shapes)))]
        distance, nx, ny = signed[first], px[first], py[first]
        self._mend_cores(shapes, distance, nx, ny, edge)
        return distance - radius, nx, ny

    def _mend_cores(
        self, shapes: Sequence[Shape], distance: Floats, nx: Floats, ny: Floats, edge: EdgeName | None
    ) -> None:
        """A core's vertices miss a boundary corner that points at its side: let shapely look at those cores."""
        import shapely

        for i, shape in enumerate(shapes):
            if len(shape.core) == 1 or not math.isfinite(distance[i]):
                continue
            core = shapely.LineString(shape.core) if len(shape.core) == 2 else shapely.Polygon(shape.core)
            line = self._edge_line(edge)
            d = float(shapely.distance(core, line))
            if distance[i] > 0 and d < distance[i]:
                near = shapely.get_point(shapely.shortest_line(core, line), 1)
                distance[i], nx[i], ny[i] = d, near.x, near.y

    def _edge_line(self, edge: EdgeName | None) -> object:
        import shapely

        parts = []
        for outline, outer in ((self.outline, True), *((o, False) for o in self.openings)):
            points = outline.flattened()
            for a, b in zip(points, points[1:] + points[:1], strict=True):
                if edge is None or (outer and edge_of(a, b) == edge):
                    parts.append([a, b])
        return shapely.multilinestrings(shapely.linestrings(parts))


def _chords(piece: object) -> list[tuple[float, float]]:
    from app.geometry.outline import EllipsePiece, _flatten

    assert isinstance(piece, EllipsePiece)
    return [*_flatten(piece, 0.0005), piece.b]


def _to_lines(x: Floats, y: Floats, lines: Floats) -> tuple[Floats, Floats, Floats] | None:
    if not len(lines):
        return None
    ax, ay, bx, by = lines.T
    dx, dy = bx - ax, by - ay
    px, py = x[:, None] - ax, y[:, None] - ay
    t = np.clip((px * dx + py * dy) / (dx * dx + dy * dy), 0.0, 1.0)
    fx, fy = ax + t * dx, ay + t * dy
    return np.hypot(x[:, None] - fx, y[:, None] - fy), fx, fy


def _to_arcs(x: Floats, y: Floats, arcs: Floats) -> tuple[Floats, Floats, Floats] | None:
    """To the nearest point of each arc: radially where the angle lies in the sweep, else to the nearer end."""
    if not len(arcs):
        return None
    cx, cy, radius, mid, half = arcs.T
    turn = np.arctan2(y[:, None] - cy, x[:, None] - cx) - mid
    turn = np.clip((turn + np.pi) % (2 * np.pi) - np.pi, -half, half)
    fx, fy = cx + radius * np.cos(mid + turn), cy + radius * np.sin(mid + turn)
    return np.hypot(x[:, None] - fx, y[:, None] - fy), fx, fy
