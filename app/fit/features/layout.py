"""What the rules look at: placements, what is near what, how far from the rim; each made once for all rules."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from itertools import chain
from typing import TYPE_CHECKING

import numpy as np
from propcache.api import cached_property

from app.catalogue.load import Catalogue
from app.fit.features.features import BELOW, CUTS, HOLE, ON_TOP, Features, Flags, Floats, Ints, is_any
from app.fit.features.heaps import Heap, heaps_of, stacked
from app.fit.features.neighbours import Neighbours, neighbours_of, own_pairs
from app.fit.features.placed_features import PlacedFeatures
from app.fit.lettering.ground import Ground
from app.fit.limits.required_distances import drives_of, lever_rows, screw_layers_of
from app.geometry.boundary import Boundary
from app.geometry.clearance import narrowed
from app.model.material import Layer
from app.model.resolved import ResolvedBoard

if TYPE_CHECKING:
    from app.fit.lettering.gaps import LegendGaps
    from app.fit.lettering.laid import LaidLegend

Distances = tuple[Floats, Floats, Floats]

_DIGITS = re.compile(r"([0-9]+)")


class Layout(PlacedFeatures, frozen=True, eq=False, dict=True):
    """A board's placements, with what the rules measure of them; each made when it is first asked for."""

    @cached_property
    def kinds(self) -> frozenset[int]:
        """Every kind there may be on the board."""
        return frozenset(chain(*(row.kinds for row in self.part_things), self.cuts.kind.tolist()))

    def is_any(self, *kinds: int) -> Flags:
        """Which of the features are of some kinds, shape (n,)."""
        return is_any(*kinds)[self.features.kind]

    def only(self, *kinds: int) -> Features:
        """The features of some kinds, with no more corners than they have."""
        some = self.features.take(self.features.of(*kinds))
        return Features(narrowed(some.shapes), some.owner, some.kind)

    @cached_property
    def holes(self) -> Features:
        """The cut-outs, in the order of ``hole_list``."""
        return self.only(HOLE)

    @cached_property
    def top(self) -> Features:
        """What lies on the top face: flanges, plates and screw heads."""
        return self.only(*ON_TOP)

    @cached_property
    def below(self) -> Features:
        """What hangs below the underside or opens in it: bodies, nuts, plates, counterbores, recesses."""
        return self.only(*BELOW, *CUTS)

    @cached_property
    def ground(self) -> Ground:
        """The top face as legends find it."""
        return Ground(self)

    @cached_property
    def legends(self) -> tuple[LaidLegend, ...]:
        """Every legend at its place; they give way to all else, and are in no other array."""
        if all(placed.legend is None for placed in self.placed):
            return ()
        from app.fit.lettering.laying import laid_legends

        return laid_legends(self, self.ground)

    @cached_property
    def legend_gaps(self) -> LegendGaps:
        """How near legends come to what is on the top face."""
        from app.fit.lettering.gaps import legend_gaps

        return legend_gaps(self.legends, self.ground)

    @cached_property
    def heaps(self) -> tuple[Heap, ...]:
        """Where many placements stand on one."""
        return heaps_of(self.features, self.ids, natural)

    @cached_property
    def stacked(self) -> Flags:
        """Which placements another one stands for, because they are in a heap on it, shape (placements,)."""
        return stacked(self.heaps, len(self.placed))

    @cached_property
    def neighbours(self) -> Neighbours:
        """Features of different placements that may be too near each other."""
        return neighbours_of(self)

    @cached_property
    def own_pairs(self) -> Neighbours:
        """Features of one placement that may be too near each other."""
        return own_pairs(self)

    @cached_property
    def screws_from_top(self) -> Flags:
        """Whether each placement's screws are driven from the top face."""
        return np.array([getattr(p.part.fixing, "side", "") == "top" for p in self.placed], np.bool_)

    @cached_property
    def drives(self) -> Floats:
        """Where each placement's screws begin above the underside, and how far they go in, shape (2, n) [mm]."""
        return drives_of(self.placed, self.board.thickness, self.default("screw-hold").value)

    @cached_property
    def screw_layers(self) -> tuple[list[Layer], Ints]:
        """The layers that screws enter, as thick as they go in, and the index of each placement's; −1 for none."""
        return screw_layers_of(self.placed, self.board.layers, self.drives[1])

    @cached_property
    def levers(self) -> Floats:
        """Throw of each placement's lever, lowest place of its knob, height of its flange, shape (3, n) [mm]."""
        return lever_rows(self.placed, self.board.thickness, self.board.paint, self.default("lever-lean").value)

    @cached_property
    def insides(self) -> Distances:
        """Board from each of ``things`` to the nearest edge or opening, and where, nominal [mm]."""
        return self.board.boundary.inside_distances(self.features.shapes)

    def near_rim(self, reach: float) -> Flags:
        """Which of the features are nearer to an edge or an opening than ``reach`` mm, or over it."""
        near: Flags = self.insides[0] < reach
        return near

    @cached_property
    def rim_insides(self) -> Distances:
        """The same to the outer edge alone."""
        if not self.board.openings:
            return self.insides
        return Boundary(self.board.outline).inside_distances(self.features.shapes)

    def edges_at(self, insides: Distances, rows: Sequence[int]) -> list[str]:
        """The edges that some of the features are nearest to; “opening” for an inner opening's."""
        which = list(rows)
        names = self.board.boundary.edges_at(insides[1][which], insides[2][which])
        return [name or "opening" for name in names]


def layout_of(board: ResolvedBoard, catalogue: Catalogue) -> Layout:
    """The board's drilled placements, ready for the rules; arrays are made when first asked for."""
    return Layout(board, catalogue, board.drilled)


def subjects_of(layout: Layout, owners: Sequence[int]) -> tuple[str, ...]:
    """Ids of placements, in an order that does not depend on the order they were placed in."""
    return tuple(sorted((layout.ids[i] for i in owners), key=natural))


@lru_cache(maxsize=16_384)
def natural(name: str) -> tuple[tuple[int, int, str], ...]:
    """A key that puts ``p2`` before ``p10``."""
    return tuple((0, int(w), "") if w.isdigit() else (1, 0, w) for w in _DIGITS.split(name))
