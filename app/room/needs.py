"""What must stay clear of what, and by how much: the limits of the rules as lists of pairs and of edges.

Each need is the distance that the rule asks for at the drawing table: its caution, and what drilling may be off.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from app.fit.depth import bored_layers
from app.fit.layout import BODY, BORE, NUT, RECESS, Flags, Floats, Ints, Layout, Things
from app.fit.limits import edge_limits, web_limits
from app.geometry.clearance import shape_set
from app.geometry.outline import EDGE_NAMES, EdgeName
from app.geometry.shapes import Shape

_POINT = 1e-9  # mm: radius of a point, which a shape cannot be without
_SCREWED = ("mdf",)  # families whose faces split where a screw is near the edge
STAYS = -1
"""Owner of what never moves."""


@dataclass(frozen=True, eq=False)
class Apart:
    """Things to keep apart: rows of pairs, each with the distance needed [mm]."""

    rule: str
    a: Things
    b: Things
    first: Ints
    second: Ints
    need: Floats

    def owners(self) -> tuple[Ints, Ints]:
        """Owners of both sides of every pair."""
        return self.a.owner[self.first], self.b.owner[self.second]


@dataclass(frozen=True, eq=False)
class Inside:
    """Things to keep inside of an edge, or of the whole boundary if it is None, each with the distance [mm]."""

    rule: str
    things: Things
    need: Floats
    edge: EdgeName | None


@dataclass(frozen=True, eq=False)
class Above:
    """Bodies over the free depth: what each needs below its shallowest place [mm]."""

    rule: str
    things: Things
    need: Floats


def apart_of(layout: Layout) -> Iterator[Apart]:
    """Pairs of things of different placements, and things against areas to keep clear."""
    off, layers = 2 * layout.allowance.position, layout.board.layers
    holes, widths = layout.holes, layout.hole_widths
    i, j = _pairs(holes, holes)
    limits = web_limits(layers, np.maximum(widths[i], widths[j]))
    yield Apart("web", holes, holes, i, j, np.maximum(*(limit.required for limit in limits)) + off)
    i, j = _pairs(layout.top, layout.top)
    yield Apart(
        "flange-overlap", layout.top, layout.top, i, j, np.full(len(i), layout.default("flange-gap").value + off)
    )
    below = layout.below
    i, j = _pairs(below, below)
    cut = (below.kind == BORE) | (below.kind == RECESS)
    i, j = i[~(cut[i] & cut[j])], j[~(cut[i] & cut[j])]
    nut = (below.kind[i] == NUT) | (below.kind[j] == NUT)
    gaps = np.where(nut, layout.default("spanner-room").value, layout.default("body-gap").value)
    yield Apart("under-clash", below, below, i, j, gaps + off)
    if len(layout.cuts):
        yield _cuts(layout, layout.cuts, layout.cut_widths, layout.cut_depths)
        yield _cuts(layout, holes, widths, np.full(len(holes), np.inf))
    yield from _areas(layout)
    yield from _corners(layout)


def _pairs(a: Things, b: Things) -> tuple[Ints, Ints]:
    if a is b:
        i, j = np.triu_indices(len(a), 1)
    else:
        i, j = (v.ravel() for v in np.indices((len(a), len(b))))
    other = a.owner[i] != b.owner[j]
    return i[other], j[other]


def _cuts(layout: Layout, other: Things, widths: Floats, depths: Floats) -> Apart:
    """Counterbores and recesses against each other, or against holes: a web in the layers both are in."""
    cuts = layout.cuts
    i, j = _pairs(cuts, other)
    wide, deep = np.maximum(layout.cut_widths[i], widths[j]), np.minimum(layout.cut_depths[i], depths[j])
    need = np.zeros(len(i))
    for depth in np.unique(deep).tolist():
        rows = deep == depth
        need[rows] = np.maximum(
            *(limit.required for limit in web_limits(bored_layers(layout.board.layers, depth), wide[rows]))
        )
    return Apart("under-clash", cuts, other, i, j, need + 2 * layout.allowance.position)


def _areas(layout: Layout) -> Iterator[Apart]:
    for area in layout.board.keep_clear:
        things = layout.top if area.face == "top" else layout.below
        alone = Things(shape_set([area.shape]), np.array([STAYS]), np.zeros(1, np.intp))
        i, j = _pairs(things, alone)
        yield Apart("rail-clash", things, alone, i, j, _rail_gap(layout, things)[i] + layout.allowance.position)


def _corners(layout: Layout) -> Iterator[Apart]:
    """Screws against the corners of the outline, where the face they are in splits."""
    things = layout.screws
    if not len(things) or not _splits(layout).any():
        return
    things = things.take(_splits(layout))
    points = [Shape(((c.x, c.y),), _POINT) for c in layout.board.outline.corners]
    corners = Things(shape_set(points), np.full(len(points), STAYS), np.zeros(len(points), np.intp))
    i, j = _pairs(things, corners)
    need = layout.default("screw-corner").value + layout.allowance.position + layout.allowance.edge
    yield Apart("edge-distance", things, corners, i, j, np.full(len(i), need))


def _splits(layout: Layout) -> Flags:
    layers = {"top": layout.board.layers[0], "under": layout.board.layers[-1]}
    sides = [getattr(layout.placed[i].part.fixing, "side", "top") for i in layout.screws.owner.tolist()]
    return np.array([layers[side].material.family in _SCREWED for side in sides], np.bool_)


def inside_of(layout: Layout) -> Iterator[Inside]:
    """Things to keep inside: each against every edge by itself, and where there are openings against all."""
    off = layout.allowance.position + layout.allowance.edge
    everywhere: tuple[EdgeName | None, ...] = (*EDGE_NAMES, None) if layout.board.openings else EDGE_NAMES
    found: list[tuple[str, Things, Floats]] = []
    holes = edge_limits(layout.board.layers, layout.hole_widths)
    found.append(("edge-distance", layout.holes, np.maximum(*(limit.required for limit in holes)) + off))
    if len(layout.cuts):
        need = np.zeros(len(layout.cuts))
        for depth in np.unique(layout.cut_depths).tolist():
            rows = layout.cut_depths == depth
            limits = edge_limits(bored_layers(layout.board.layers, depth), layout.cut_widths[rows])
            need[rows] = np.maximum(*(limit.required for limit in limits))
        found.append(("edge-distance", layout.cuts, need + off))
    if len(layout.screws) and _splits(layout).any():
        screws = layout.screws.take(_splits(layout))
        found.append(("edge-distance", screws, np.full(len(screws), layout.default("screw-edge").value + off)))
    overhang = np.full(len(layout.top), layout.default("flange-overhang").value + off)
    found.append(("flange-overhang", layout.top, overhang))
    for rule, things, need in found:
        for edge in everywhere:
            yield Inside(rule, things, need, edge)
    for feature in layout.board.edges:
        if feature.slot_depth > 0:
            gap = layout.default("slot-gap").value + feature.slot_depth + off
            for things in (layout.holes, layout.cuts):
                yield Inside("edge-slot", things, np.full(len(things), gap), feature.edge)
        if feature.rail > 0:
            below = layout.below
            yield Inside("rail-clash", below, _rail_gap(layout, below) + feature.rail + off, feature.edge)


def above_of(layout: Layout) -> Iterator[Above]:
    """Bodies over a free depth that is not the same everywhere, where there is room for them at all."""
    plane = layout.board.depth
    bodies = layout.below.take(layout.below.kind == BODY)
    if plane is None or not len(bodies) or (plane.slope_x == 0 and plane.slope_y == 0):
        return
    wires, board = layout.default("wire-room").value, layout.board
    slope = float(np.hypot(plane.slope_x, plane.slope_y))
    deep = np.array([p.depth_below(board.thickness, board.paint) for p in layout.placed])[bodies.owner]
    wired = np.array([p.part.wiring is not None for p in layout.placed])[bodies.owner]
    need = deep + np.where(wired, wires, 0.0) + slope * (bodies.shapes.radii + layout.allowance.position)
    deepest = max(plane.at(c.x, c.y) for c in board.outline.corners)
    there = need <= deepest
    yield Above("depth-below", bodies.take(there), need[there])


def _rail_gap(layout: Layout, things: Things) -> Floats:
    turn, gap = layout.default("spanner-room").value, layout.default("rail-gap").value
    need: Floats = np.where(things.kind == NUT, max(turn, gap), gap)
    return need
