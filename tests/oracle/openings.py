"""What is expected of the openings of a board: to its rim, to each other, to rails, slots and areas."""

from __future__ import annotations

from itertools import combinations

import numpy as np
from manifold3d import CrossSection, triangulate

from tests.oracle.against import Site
from tests.oracle.flat import Flat, Floats, apart, boxes_apart, to_segments
from tests.oracle.items import TIE, Item, Limits, Looked, edge_limits, web_limits
from tests.oracle.land import Loop
from tests.oracle.strips import Curve

NEAR = 60.0
RULE = "opening-distance"


def around_openings(site: Site, looked: Looked) -> None:
    """Every opening against everything that stands still."""
    board, loops, rule = site.board, site.land.openings, site.rule
    edge = board.shop.drilling.edge
    pieces = [_convex(loop) for loop in loops]
    backed = len(board.layers) > 1
    for k, loop in enumerate(loops):
        width = _width(loop)
        d = float(_gap(loop.points, site.land.rim.points)) - 2 * edge
        _add(looked, d, edge_limits(board.layers, width, backed), f"opening {k}")
        for strips, gap in ((site.rails, rule("rail-gap")), (site.slots, rule("slot-gap"))):
            for strip in strips:
                looked.pairs += 1
                near = [p for p in pieces[k] if boxes_apart(p, strip.pieces[0]) < NEAR] if strip.pieces else []
                if isinstance(strip, Curve):
                    near = pieces[k]
                d = min((apart(a, b) for a in near for b in strip.pieces), default=NEAR)
                _add(looked, d - 2 * edge, Limits(0.0, gap), f"opening {k}")
        for _, area in site.areas:
            looked.pairs += 1
            d = min(apart(a, area) for a in pieces[k]) - edge
            _add(looked, d, Limits(0.0, rule("rail-gap")), f"opening {k}")
    for i, j in combinations(range(len(loops)), 2):
        looked.pairs += 1
        meet = (loops[i].section ^ loops[j].section).area() > 0
        d = (-1e-3 if meet else _gap(loops[i].points, loops[j].points)) - 2 * edge
        limits = web_limits(board.layers, max(_width(loops[i]), _width(loops[j])))
        mild = web_limits(board.layers, min(_width(loops[i]), _width(loops[j])))
        _add(looked, d, mild, f"opening {i}", sure=True, meet=meet)
        if mild != limits:
            _add(looked, d, limits, f"opening {i}", sure=False, meet=meet)


def _add(looked: Looked, d: float, limits: Limits, place: str, sure: bool = True, meet: bool = False) -> None:
    if d < max(limits.stop, limits.caution) + TIE:
        overlap = meet or d < -1e-3
        low = -1e3 if overlap else d
        stop = max(limits.stop, 1e-3) if meet else limits.stop
        places = frozenset((place,))
        looked.items.append(Item(RULE, frozenset(), low, d, stop, limits.caution, places=places, sure=sure))


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
