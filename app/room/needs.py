"""What must stay clear of what, and by how much: the limits of the rules as lists of pairs and of edges.

Each need is the distance that the rule asks for at the drawing table: its caution, and what drilling may be off.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from app.fit.features.corners import corner_points
from app.fit.features.features import (
    BODY,
    CUTS,
    EDGE,
    HOLE,
    LEVER,
    RAIL,
    SCREW,
    SLOT,
    TOP_AREA,
    UNDER_AREA,
    Features,
    Flags,
    Floats,
    Ints,
)
from app.fit.features.layout import Layout
from app.fit.features.neighbours import pairs_judged
from app.fit.limits.pair_table import PAIR_RULES, kinds_against
from app.fit.limits.required_distances import asked_between
from app.fit.rules import depth_below, edge_distance, edge_slot, flange_overhang, rail_clash, under_overhang
from app.fit.rules.depth_below import hanging
from app.fit.rules.edge_distance import SPLITS, edge_needs
from app.fit.rules.rail_clash import rail_gaps
from app.geometry.clearance import shape_set
from app.geometry.outline import EDGE_NAMES, EdgeName
from app.geometry.shapes import Shape

_POINT = 1e-9  # mm: radius of a point, which a shape cannot be without
STAYS = -1
"""Owner of what never moves."""

_EDGE, _RAIL, _SLOT = edge_distance.RULE.name, rail_clash.RULE.name, edge_slot.RULE.name


class Apart(Struct, frozen=True, eq=False):
    """Features to keep apart: rows of pairs, each with the distance needed [mm]."""

    rule: str
    a: Features
    b: Features
    first: Ints
    second: Ints
    need: Floats

    def owners(self) -> tuple[Ints, Ints]:
        """Owners of both sides of every pair."""
        return self.a.owner[self.first], self.b.owner[self.second]


class Inside(Struct, frozen=True, eq=False):
    """Features to keep inside of an edge, or of the whole boundary if it is None, each with the distance [mm]."""

    rule: str
    features: Features
    need: Floats
    edge: EdgeName | None


class Above(Struct, frozen=True, eq=False):
    """Bodies over the free depth: what each needs below its shallowest place [mm]."""

    rule: str
    features: Features
    need: Floats


def apart_of(layout: Layout) -> Iterator[Apart]:
    """Pairs of features of different placements, and features against rails, slots and areas to keep clear."""
    features, (i, j, rule) = layout.features, pairs_judged(layout)
    need = np.maximum(*asked_between(layout, i, j)) + 2 * layout.allowance.position
    for index, name in enumerate(PAIR_RULES):
        rows = np.flatnonzero((rule == index) & np.isfinite(need))
        if len(rows):
            yield Apart(name, features, features, i[rows], j[rows], need[rows])
    yield from _strips(layout)
    yield from _areas(layout)
    yield from _corners(layout)


def _pairs(a: Features, b: Features) -> tuple[Ints, Ints]:
    i, j = (v.ravel() for v in np.indices((len(a), len(b))))
    return i, j


def _strips(layout: Layout) -> Iterator[Apart]:
    """Features against rails and slots, which are left to the inside or past their ends."""
    off = layout.allowance.position + layout.allowance.edge
    for rule, place, strips in ((_RAIL, RAIL, layout.board.rails), (_SLOT, SLOT, layout.board.slots)):
        which = layout.features.of(*kinds_against(rule, place))
        if not strips or not len(which):
            continue
        slot = np.full(len(which), layout.default("slot-gap").value)
        need = rail_gaps(layout, which) if place == RAIL else slot
        stays = Features(
            shape_set([s.beyond for s in strips]), np.full(len(strips), STAYS), np.zeros(len(strips), np.intp)
        )
        i, j = _pairs(layout.features.take(which), stays)
        yield Apart(rule, layout.features, stays, which[i], j, need[i] + off)


def _areas(layout: Layout) -> Iterator[Apart]:
    throws = layout.levers[0] if LEVER in layout.kinds else np.zeros(len(layout.placed))
    for area in layout.board.keep_clear:
        which = layout.features.of(*kinds_against(_RAIL, TOP_AREA if area.face == "top" else UNDER_AREA))
        alone = Features(shape_set([area.shape]), np.array([STAYS]), np.zeros(1, np.intp))
        sweep = layout.features.kind[which] == LEVER
        need = np.where(sweep & (throws[layout.features.owner[which]] > 0), 0.0, rail_gaps(layout, which))
        zeros = np.zeros(len(which), np.intp)
        yield Apart(_RAIL, layout.features, alone, which, zeros, need + layout.allowance.position)


def _corners(layout: Layout) -> Iterator[Apart]:
    """Screws against the corners of the outline, where the face they are in splits."""
    which = np.flatnonzero(_splits(layout))
    if not len(which):
        return
    asked = layout.default("screw-corner").value
    x, y, more = corner_points(layout.board.outline, asked).T
    points = [Shape((at,), _POINT) for at in zip(x.tolist(), y.tolist(), strict=True)]
    corners = Features(shape_set(points), np.full(len(points), STAYS), np.zeros(len(points), np.intp))
    i, j = _pairs(layout.features.take(which), corners)
    off = layout.allowance.position + layout.allowance.edge
    need = asked + more[j] + off - layout.features.shapes.radii[which][i]
    yield Apart(_EDGE, layout.features, corners, which[i], j, need)


def _splits(layout: Layout) -> Flags:
    """Which of the features are screws in a face that splits."""
    layers = layout.board.layers
    split = np.array([layers[-1].material.family in SPLITS, layers[0].material.family in SPLITS])
    found: Flags = layout.is_any(SCREW) & split[layout.screws_from_top[layout.features.owner].astype(np.intp)]
    return found


def inside_of(layout: Layout) -> Iterator[Inside]:
    """Features to keep inside: each against every edge by itself, and where there are openings against all."""
    off = layout.allowance.position + layout.allowance.edge
    everywhere: tuple[EdgeName | None, ...] = (*EDGE_NAMES, None) if layout.board.openings else EDGE_NAMES
    need = edge_needs(layout)
    found = [(_EDGE, layout.is_any(HOLE, *CUTS, SCREW), need)]
    for rule in (flange_overhang.RULE.name, under_overhang.RULE.name):
        asked = np.full(len(layout.features), layout.default(rule).value)
        found.append((rule, layout.is_any(*kinds_against(rule, EDGE)), asked))
    for rule, which, asked in found:
        for edge in everywhere if which.any() else ():
            yield Inside(rule, layout.features.take(which), asked[which] + off, edge)


def above_of(layout: Layout) -> Iterator[Above]:
    """Bodies over a free depth that is not the same everywhere, where there is room for them at all."""
    plane = layout.board.free_depth
    which = hanging(layout)
    if plane is None or not len(which) or (plane.slope_x == 0 and plane.slope_y == 0):
        return
    features, board = layout.features.take(which), layout.board
    slope = float(np.hypot(plane.slope_x, plane.slope_y))
    wired = np.array([p.part.wiring is not None for p in layout.placed])[features.owner] & (features.kind == BODY)
    need = layout.hangs[which] + np.where(wired, layout.default("wire-room").value, 0.0)
    need += slope * (features.shapes.radii + layout.allowance.position)
    deepest = max(plane.at(c.x, c.y) for c in board.outline.corners)
    there = need <= deepest
    yield Above(depth_below.RULE.name, features.take(there), need[there])
