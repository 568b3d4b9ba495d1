"""What legends have to keep clear of on the top face: flanges, plates, screw heads, holes, areas, edges, openings."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from propcache.api import cached_property

from app.fit.features.features import HOLE, Features, Flags, Floats, Ints
from app.fit.limits.pair_table import kinds_under_legends
from app.geometry.clearance import ShapeSet, narrowed, shape_set
from app.model.legend import Legend

if TYPE_CHECKING:
    from app.fit.features.placed_features import PlacedFeatures


class Ground:
    """The top face of a board as legends find it.

    Args:
        layout: its placements.
    """

    def __init__(self, layout: PlacedFeatures) -> None:
        self._layout = layout
        self.gap = layout.default("legend-gap").value
        self.apart = layout.default("legend-apart").value
        self.off = layout.allowance.position
        self.off_edge = layout.allowance.edge

    @cached_property
    def things(self) -> Features:
        """Everything that lies on the top face or opens in it."""
        features = self._layout.hardware
        some = features.take(features.of(*kinds_under_legends()))
        return Features(narrowed(some.shapes), some.owner, some.kind)

    @cached_property
    def areas(self) -> ShapeSet:
        """Areas of the top face to keep clear."""
        return shape_set([area.shape for area in self._layout.board.keep_clear if area.face == "top"])

    @cached_property
    def rims(self) -> Floats:
        """How far each placement reaches from its origin: left, front, right, back, all round, shape (n, 5) [mm]."""
        things, poses = self.things, self._layout.poses
        rims = np.zeros((len(self._layout.placed), 5))
        if not len(things):
            return rims
        out = things.shapes.points - poses[things.owner][:, None, :2]
        radii = things.shapes.radii
        low, high = out.min(axis=1) - radii[:, None], out.max(axis=1) + radii[:, None]
        for k, values in enumerate((-low[:, 0], -low[:, 1], high[:, 0], high[:, 1])):
            np.maximum.at(rims[:, k], things.owner, values)
        np.maximum.at(rims[:, 4], things.owner, np.hypot(out[..., 0], out[..., 1]).max(axis=1) + radii)
        return rims

    def clear(self, quads: Floats, covered: bool, near: Ints | None = None) -> Flags:
        """Which boxes of shape (n, 4, 2) lie on bare board with the gap that is asked for round them.

        Args:
            quads: their corners [mm].
            covered: whether flanges, plates and screw heads may lie over them.
            near: those of ``things`` that may be near; None for all.
        """
        from app.fit.lettering.laid import quad_set

        boxes, free = quad_set(quads), np.ones(len(quads), np.bool_)
        things = self.things if near is None else self.things.take(near)
        if covered:
            things = things.take(things.kind == HOLE)
        need = self.gap + self.off
        free[boxes.against(things.shapes, need).first] = False
        if len(self.areas):
            free[boxes.against(self.areas, self.gap).first] = False
        rest = np.flatnonzero(free)
        if len(rest):
            inside = self.inside_of(boxes.take(rest))[0]
            free[rest[inside < self.gap + self.off_edge]] = False
        return free

    def inside_of(self, boxes: ShapeSet) -> tuple[Floats, Floats, Floats]:
        """Board between boxes and the nearest edge or opening, and where that is [mm]."""
        return self._layout.board.boundary.inside_distances(boxes)

    def near(self, x: float, y: float, reach: float) -> Ints:
        """Those of ``things`` within ``reach`` of a place [mm]."""
        shapes = self.things.shapes
        span = np.hypot(shapes.centres[:, 0] - x, shapes.centres[:, 1] - y)
        return np.flatnonzero(span < reach + shapes.reaches)


def has_ink(legend: Legend | None) -> bool:
    """Whether there is anything to letter."""
    return legend is not None and bool(legend.sign or legend.text.strip())
