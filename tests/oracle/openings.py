"""What is expected of the openings of a board: to its rim, to each other, to rails, slots and areas."""

from __future__ import annotations

from itertools import combinations

import numpy as np
from manifold3d import CrossSection, triangulate

from tests.oracle.against import Site
from tests.oracle.flat import Flat, Floats, apart, to_segments
from tests.oracle.items import TIE, Item, Limits, Looked, edge_limits, web_limits
from tests.oracle.land import Depth, Loop

RULE = "opening-distance"


def around_openings(site: Site, looked: Looked) -> None:
    """Every opening against everything that stands still."""
    board, loops, rule = site.board, site.land.openings, site.rule
    edge = board.tooling.drilling.edge
    pieces = [_convex(loop) for loop in loops]
    backed = len(board.layers) > 1
    for k, loop in enumerate(loops):
        width = _width(loop)
        d = _gap(loop.points, site.land.rim.points)
        _add(looked, Depth(d, d), 2 * edge, edge_limits(board.layers, width, backed), k)
        for strips, gap in ((site.rails, rule("rail-gap")), (site.slots, rule("slot-gap"))):
            for strip in strips:
                looked.pairs += 1
                found = [strip.clearance(piece, site.land) for piece in pieces[k]]
                nominal = Depth(min(d.low for d in found), min(d.high for d in found))
                _add(looked, nominal, 2 * edge, Limits(0.0, gap), k, single=len(found) == 1)
        for _, area in site.areas:
            looked.pairs += 1
            d = min(apart(a, area) for a in pieces[k])
            _add(looked, Depth(d, d), edge, Limits(0.0, rule("rail-gap")), k, single=len(pieces[k]) == 1)
    for i, j in combinations(range(len(loops)), 2):
        looked.pairs += 1
        meet = (loops[i].section ^ loops[j].section).area() > 0
        # Run into each other they are one opening, and by how much is no figure to work with: any below 0 will do.
        d = -1e-3 if meet else _gap(loops[i].points, loops[j].points)
        widths = sorted((_width(loops[i]), _width(loops[j])))
        mild, full = (web_limits(board.layers, width) for width in widths)
        for limits in {mild, full}:  # the wider of the two may count, as between holes; the text does not say so
            _add(looked, Depth(d, d), 2 * edge, limits, i, single=not meet, sure=limits == mild)


def _add(
    looked: Looked, nominal: Depth, slack: float, limits: Limits, k: int, single: bool = True, sure: bool = True
) -> None:
    """An item about opening ``k``; of one that is no single convex piece, the overlap is at least the pieces'."""
    low, high = nominal.low - slack, nominal.high - slack
    if low >= max(limits.stop, limits.caution) + TIE:
        return
    if nominal.low < 0 and not single:
        low = -1e3
    places = frozenset((f"opening {k}",))
    looked.items.append(Item(RULE, frozenset(), low, high, limits.stop, limits.caution, places=places, sure=sure))


def _width(loop: Loop) -> float:
    x0, y0, x1, y1 = loop.section.bounds()
    return float(min(x1 - x0, y1 - y0))


def _gap(one: Floats, other: Floats) -> float:
    """Least distance of two closed lines that do not cross [mm]."""
    return min(
        float(to_segments(one, other, np.roll(other, -1, axis=0)).min()),
        float(to_segments(other, one, np.roll(one, -1, axis=0)).min()),
    )


def _convex(loop: Loop) -> list[Flat]:
    """An opening as convex pieces: itself where it is convex, else triangles."""
    points = loop.points
    if CrossSection([points.tolist()]).hull().area() - loop.section.area() < 1e-6:
        return [Flat(points, 0.0)]
    return [Flat(points[list(t)], 0.0) for t in triangulate([points])]
