"""Rings as corners of an outline: bends stay circular, as corners set back equally."""

from __future__ import annotations

import math
from collections.abc import Sequence

from app.geometry.outline import Corner
from app.geometry.shapes import Point
from app.readers.pieces import Bend, Ring

_WIDEST = 90.0
_STRAIGHT = 1e-7
"""Sine of the angle below which three corners lie on one line."""


def corners_of(ring: Ring, scale: float, origin: Point) -> tuple[Corner, ...]:
    """The corners of a ring, from ``origin`` and in mm.

    A bend from P to Q with tangents that meet in T is the corner T, set back by |TP| and |TQ|, between P and Q; wide
    bends are several. Corners on a straight line that are not set back are left out, so a rounded rectangle has four.

    Args:
        ring: pieces in the units of a file.
        scale: mm in such a unit.
        origin: the datum corner, in the units of the file.
    """

    def place(p: Point) -> Point:
        return (_plainer((p[0] - origin[0]) * scale), _plainer((p[1] - origin[1]) * scale))

    found: list[Corner] = []
    for piece in ring:
        found.append(Corner(*place(piece.a)))
        if isinstance(piece, Bend):
            count = max(1, math.ceil(abs(piece.sweep) / _WIDEST - 1e-9))
            for k in range(count):
                part = abs(piece.sweep) / count
                reach = _plainer(piece.radius * math.tan(math.radians(part) / 2) * scale)
                found.append(Corner(*place(_tip(piece, (k + 0.5) / count, part)), (reach, reach)))
                if k < count - 1:
                    found.append(Corner(*place(piece.at((k + 1) / count))))
    return _plain(found)


def _plainer(value: float) -> float:
    """The value without what is left of binary arithmetic: 40, not 39.99999999999999."""
    plain = round(value, 6) + 0.0
    return plain if abs(plain - value) < 1e-10 else value


def _tip(piece: Bend, share: float, part: float) -> Point:
    """Where the tangents at both ends of a part of a bend meet: beyond its middle, from the centre."""
    middle = piece.at(share)
    far = 1 / math.cos(math.radians(part) / 2)
    cx, cy = piece.centre
    return (cx + (middle[0] - cx) * far, cy + (middle[1] - cy) * far)


def _plain(corners: Sequence[Corner]) -> tuple[Corner, ...]:
    """Without sharp corners on the straight line between their neighbours."""
    kept = list(corners)
    index = 0
    while index < len(kept) and len(kept) > 3:
        here = kept[index]
        before, after = kept[index - 1], kept[(index + 1) % len(kept)]
        if here.setback is None and _on_line(before, here, after):
            del kept[index]
        else:
            index += 1
    return tuple(kept)


def _on_line(a: Corner, b: Corner, c: Corner) -> bool:
    u, v = (b.x - a.x, b.y - a.y), (c.x - b.x, c.y - b.y)
    lengths = math.hypot(*u) * math.hypot(*v)
    ahead = u[0] * v[0] + u[1] * v[1] > 0
    return lengths < 1e-18 or (ahead and abs(u[0] * v[1] - u[1] * v[0]) < _STRAIGHT * lengths)
