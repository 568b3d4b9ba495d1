"""The features of a board against its places, and its places among themselves: all of them, near or not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from app.fit.features.features import (
    CUTS,
    DEPTH,
    EDGE,
    HOLE,
    KINDS,
    LEVER,
    ON_TOP,
    OPENING,
    PLACES,
    RAIL,
    SCREW,
    SLOT,
    SPANNER,
    TOP_AREA,
    UNDER_AREA,
    WIRES,
    Floats,
    Ints,
)
from app.fit.features.layout import Layout
from app.fit.judging.strip_clash import against_strips
from app.fit.limits.allowance import worst_to_area, worst_to_edge
from app.fit.limits.layer_limits import edge_limits, web_limits
from app.fit.limits.pair_table import AGAINST
from app.fit.rules import flange_overhang, under_overhang
from app.fit.rules.depth_below import free_depths, hanging, wires_needed
from app.fit.rules.edge_distance import edge_needs
from app.fit.rules.opening_distance import width_of
from app.fit.rules.rail_clash import rail_gaps
from app.geometry.clearance import shape_set
from app.geometry.regions import AreaGap, gaps_among, gaps_to_rim, gaps_to_shapes, gaps_to_strips
from app.geometry.strips import Strip

_FAR = 1e6  # mm: further than anything on a board


class Tried(Struct, frozen=True, eq=False):
    """Pairs of two kinds: how many there are, and what was measured of those that were looked at.

    Args:
        what, other: what they are.
        tried: how many there are.
        owners: placements each is of, −1 for none, shape (n, 2).
        measured: worst case, shape (n,) [mm].
        required: what is needed so that nothing is found, shape (n,) [mm].
    """

    what: str
    other: str
    tried: int
    owners: Ints
    measured: Floats
    required: Floats


def against_board(layout: Layout) -> Iterator[Tried]:
    """Every kind of feature against every place of the board that a rule judges it by."""
    for (kind, place), cell in AGAINST.items():
        which = layout.features.of(kind)
        if not cell.rules or kind in (SPANNER, WIRES) or not len(which):
            continue
        found = _of_place(layout, which, kind, place)
        if found is not None:
            many, rows, measured, required = found
            owners = np.stack((layout.features.owner[rows], np.full(len(rows), -1)), axis=1)
            yield Tried(KINDS[kind], PLACES[place], many, owners, measured, required)


def _of_place(layout: Layout, which: Ints, kind: int, place: int) -> tuple[int, Ints, Floats, Floats] | None:
    """How many pairs, the features, what was measured and what is needed; None where the board has no such place."""
    if place in (EDGE, OPENING):
        return _rim(layout, which, kind, place)
    if place in (RAIL, SLOT):
        return _strips(layout, which, place, layout.board.rails if place == RAIL else layout.board.slots)
    if place in (TOP_AREA, UNDER_AREA):
        return _areas(layout, which, kind, "top" if place == TOP_AREA else "under")
    plane = layout.board.free_depth
    if place != DEPTH or plane is None:
        return None
    if not len(which := np.intersect1d(which, hanging(layout))):
        return None
    features = layout.features.take(which)
    measured = free_depths(layout, plane, features)[0] - layout.hangs[which]
    return len(which), which, measured, wires_needed(layout, features)


def _rim(layout: Layout, which: Ints, kind: int, place: int) -> tuple[int, Ints, Floats, Floats] | None:
    openings = layout.board.openings
    if place == OPENING and not openings:
        return None
    inside = (layout.rim_insides if place == EDGE else layout.insides)[0][which]
    many = len(which) * (len(openings) if place == OPENING else 1)
    if place == OPENING:
        nearer = inside < layout.rim_insides[0][which]
        which, inside = which[nearer], inside[nearer]
    name = (flange_overhang if kind in ON_TOP else under_overhang).RULE.name  # of the default as well
    plain = np.full(len(which), layout.default(name).value)
    required = edge_needs(layout)[which] if kind in (HOLE, *CUTS, SCREW) else plain
    return many, which, worst_to_edge(inside, layout.allowance), required


def _strips(
    layout: Layout, which: Ints, place: int, strips: Sequence[Strip]
) -> tuple[int, Ints, Floats, Floats] | None:
    if not strips:
        return None
    _, pairs, _ = against_strips(layout, strips, which, _FAR)
    rows = which[pairs.first]
    slot = np.full(len(rows), layout.default("slot-gap").value)
    required = rail_gaps(layout, rows) if place == RAIL else slot
    return len(which) * len(strips), rows, worst_to_edge(pairs.distance, layout.allowance), required


def _areas(layout: Layout, which: Ints, kind: int, face: str) -> tuple[int, Ints, Floats, Floats] | None:
    areas = [area.shape for area in layout.board.keep_clear if area.face == face]
    if not areas:
        return None
    pairs = layout.features.shapes.take(which).against(shape_set(areas), _FAR)
    rows = which[pairs.first]
    required = np.zeros(len(rows)) if kind == LEVER else rail_gaps(layout, rows)
    return len(which) * len(areas), rows, worst_to_area(pairs.distance, layout.allowance), required


def of_openings(layout: Layout) -> Iterator[Tried]:
    """Inner openings against the edge, each other, rails, slots and areas to keep clear."""
    openings, layers = layout.board.openings, layout.board.layers
    if not openings:
        return
    widths = np.array([width_of(opening) for opening in openings])
    edge = np.maximum(*(limit.required for limit in edge_limits(layers, widths)))
    gaps, off = gaps_to_rim(openings, layout.board.outline, _FAR), 2 * layout.allowance.edge
    yield _openings(gaps, "edge", off, edge[[gap.first for gap in gaps]])
    if pairs := gaps_among(openings, _FAR):
        both = np.array([max(widths[gap.first], widths[gap.second]) for gap in pairs])
        web = np.maximum(*(limit.required for limit in web_limits(layers, both)))
        yield _openings(pairs, "opening", off, web)
    board, plain = layout.board, layout.default
    for place, strips, default in ((RAIL, board.rails, "rail-gap"), (SLOT, board.slots, "slot-gap")):
        if strips:
            pairs = gaps_to_strips(openings, strips, _FAR)
            yield _openings(pairs, PLACES[place], off, np.full(len(pairs), plain(default).value))
    for place, face in ((TOP_AREA, "top"), (UNDER_AREA, "under")):
        if areas := tuple(a.shape for a in board.keep_clear if a.face == face):
            pairs = gaps_to_shapes(openings, areas, _FAR)
            yield _openings(pairs, PLACES[place], off / 2, np.full(len(pairs), plain("rail-gap").value))


def _openings(gaps: Sequence[AreaGap], other: str, off: float, required: Floats) -> Tried:
    """Inner openings against something else of the board, both of which stay where they are."""
    measured = np.array([gap.distance - off for gap in gaps])
    return Tried("opening", other, len(gaps), np.full((len(gaps), 2), -1), measured, required)
