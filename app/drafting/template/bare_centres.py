"""Ink kept away from the centres of holes, so that a punch finds bare paper."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from app.drafting.labels.nearby import Nearby
from app.scene.curves import angle_of
from app.scene.primitives import Arc, Circle, Item, Line, Point


def about(centres: Iterable[Point], clear: float) -> Nearby[Point]:
    """Centres, ready to be asked for those within ``clear`` [mm] of something, again and again."""
    return Nearby(((x - clear, y - clear, x + clear, y + clear), (x, y)) for x, y in centres)


def keep_bare(items: Iterable[Item], centres: Sequence[Point] | Nearby[Point], clear: float) -> list[Item]:
    """The lines and circles of ``items`` broken where they would come within ``clear`` of a centre.

    Args:
        items: what is drawn; paths and words are left as they are.
        centres: centres of holes [mm], or what :func:`about` makes of them and ``clear``.
        clear: least distance from a centre to the middle of a line [mm].
    """
    kept: list[Item] = []
    index = centres if isinstance(centres, Nearby) else about(centres, clear)
    for item in items:
        match item:
            case Line():
                (ax, ay), (bx, by) = item.a, item.b
                near = index.near((min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)))
                kept += _broken_line(item, near, clear)
            case Circle():
                (x, y), r = item.centre, item.radius
                kept += _broken_circle(item, index.near((x - r, y - r, x + r, y + r)), clear)
            case _:
                kept.append(item)
    return kept


def _broken_line(line: Line, centres: Sequence[Point], clear: float) -> list[Line]:
    (ax, ay), (bx, by) = line.a, line.b
    length = math.hypot(bx - ax, by - ay)
    if length == 0:
        return []
    ux, uy = (bx - ax) / length, (by - ay) / length
    gaps = []
    for cx, cy in centres:
        along, off = (cx - ax) * ux + (cy - ay) * uy, (cx - ax) * uy - (cy - ay) * ux
        if abs(off) < clear and -clear < along < length + clear:
            half = math.sqrt(clear * clear - off * off)
            gaps.append((along - half, along + half))
    if not gaps:
        return [line]
    return [
        Line((ax + ux * s, ay + uy * s), (ax + ux * e, ay + uy * e), line.style, line.layer)
        for s, e in _between(gaps, 0.0, length)
    ]


def _broken_circle(circle: Circle, centres: Sequence[Point], clear: float) -> list[Item]:
    gaps = []
    for centre in centres:
        d, r = math.dist(centre, circle.centre), circle.radius
        if d > 1e-9 and abs(d - r) < clear:
            reach = (d * d + r * r - clear * clear) / (2 * d * r)
            half = math.degrees(math.acos(min(1.0, max(-1.0, reach))))
            at = angle_of(circle.centre, centre) % 360.0
            gaps.append((at - half, at + half))
    if not gaps:
        return [circle]
    start = gaps[0][1]
    turned = [((a - start) % 360.0, (a - start) % 360.0 + (b - a)) for a, b in gaps]
    return [
        Arc(circle.centre, circle.radius, start + s, e - s, circle.style, circle.layer)
        for s, e in _between(turned, 0.0, 360.0)
    ]


def _between(gaps: list[tuple[float, float]], start: float, end: float) -> list[tuple[float, float]]:
    """What is left of ``start`` to ``end`` between the gaps."""
    left, here = [], start
    for low, high in sorted(gaps):
        if low > here:
            left.append((here, min(low, end)))
        here = max(here, high)
    if here < end:
        left.append((here, end))
    return [(a, b) for a, b in left if b - a > 1e-6]
