"""How near legends come to what is on the top face and to each other, measured once for all rules."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from propcache.api import cached_property

from app.fit.features.features import HOLE, Floats, Ints
from app.fit.lettering.ground import Ground
from app.fit.lettering.laid import LaidLegend, quad_set
from app.geometry.clearance import Pairs, ShapeSet


class LegendGaps(Struct, frozen=True, eq=False, dict=True):
    """Boxes of legends, and how near they come.

    Args:
        legends: every legend.
        ground: what they keep clear of.
    """

    legends: tuple[LaidLegend, ...]
    ground: Ground

    @cached_property
    def boxes(self) -> ShapeSet:
        """Every box of every legend."""
        quads = [laid.quads for laid in self.legends]
        return quad_set(np.concatenate(quads) if quads else np.zeros((0, 4, 2)))

    @cached_property
    def of(self) -> Ints:
        """Index of the legend of each box."""
        return np.repeat(np.arange(len(self.legends)), [len(laid.quads) for laid in self.legends])

    @cached_property
    def owner(self) -> Ints:
        """Index of the placement of each box."""
        return np.array([laid.owner for laid in self.legends], np.intp)[self.of]

    def to_things(self, reach: float) -> tuple[Pairs, Floats]:
        """Boxes and things on the top face nearer than ``reach``, and the least there is at worst [mm].

        What a legend may be covered by is not asked of it.
        """
        things = self.ground.things
        pairs = self.boxes.against(things.shapes, reach + self.ground.off)
        covered = np.array([laid.legend.covered for laid in self.legends], np.bool_)
        pairs = pairs.where(~covered[self.of[pairs.first]] | (things.kind[pairs.second] == HOLE))
        return pairs, pairs.distance - self.ground.off

    def to_areas(self, reach: float) -> Pairs:
        """Boxes and areas to keep clear nearer than ``reach`` [mm]."""
        return self.boxes.against(self.ground.areas, reach)

    @cached_property
    def inside(self) -> tuple[Floats, Floats, Floats]:
        """Board between each box and the nearest edge or opening at worst, and where [mm]."""
        distance, x, y = self.ground.inside_of(self.boxes)
        return distance - self.ground.off_edge, x, y

    def to_others(self, reach: float) -> Pairs:
        """Boxes of two legends nearer than ``reach``, each two once [mm]."""
        pairs = self.boxes.within(reach)
        return pairs.where(self.of[pairs.first] != self.of[pairs.second])


def legend_gaps(legends: Sequence[LaidLegend], ground: Ground) -> LegendGaps:
    """How near the legends of a board come."""
    return LegendGaps(tuple(legends), ground)
