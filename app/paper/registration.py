"""Marks on the seams: the same point of the board on both sheets, so that the two can be laid together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import Literal

from app.catalogue.load import catalogue
from app.paper.layout import Box
from app.paper.tiling import Circle, Point, Tile, Tiling
from app.scene.metrics import ASCENT, text_box, text_width
from app.scene.palette import SEAM_MARK, TEXT
from app.scene.primitives import Item, Line, LineTo, Path, Text

ARM = 4.0
"""A mark reaches this far from its middle, less than half the overlap of two sheets [mm]."""

_DIAMOND = 2.4
_NAME, _NAME_OFF, _NAME_UP = 2.8, 1.6, 2.5  # size of a mark's name, and where it stands beside the upright arm
_HALF, _AIR = 5.4, 0.8  # half of what a mark takes with a name of two letters, and what stays free about it
_ON_A_HOLE = 3  # how much worse it is for a mark to lie on a hole than on a ruled line
_LETTERS = "abcdefghkmnprstuvwxyz"


@dataclass(frozen=True, slots=True)
class Seam:
    """Where two sheets meet.

    Args:
        first, second: the sheet at the left or the front of it, and the other; the second lies on top.
        axis: ``x`` for an upright seam.
        at: its place [mm].
        low, high: the stretch both sheets show between the seams across it [mm].
        marks: registration marks: name and place.
    """

    first: Tile
    second: Tile
    axis: Literal["x", "y"]
    at: float
    low: float
    high: float
    marks: tuple[tuple[str, Point], ...]


def seams(
    tiling: Tiling, circles: Sequence[Circle], avoid: Sequence[float], across: Sequence[float]
) -> tuple[Seam, ...]:
    """Every place where two printed sheets meet, each with at least two marks.

    Args:
        tiling: the sheets.
        circles: holes the marks keep clear of where they can.
        avoid: ordinates of ruled lines, which marks on upright seams keep clear of [mm].
        across: abscissae of ruled lines, for the other seams [mm].
    """
    found: list[Seam] = []
    count = 0
    for tile in sorted(tiling.tiles, key=lambda t: (-t.row, t.column)):
        for axis, other in (
            ("x", tiling.tile(tile.row, tile.column + 1)),
            ("y", tiling.tile(tile.row - 1, tile.column)),
        ):
            if other is None:
                continue
            seam = _meeting(tile, other, "x" if axis == "x" else "y")
            places = _mark_places(seam, circles, avoid if axis == "x" else across)
            marks = []
            for place in places:
                marks.append((_name(count), (seam.at, place) if axis == "x" else (place, seam.at)))
                count += 1
            found.append(Seam(tile, other, seam.axis, seam.at, seam.low, seam.high, tuple(marks)))
    return tuple(found)


def _meeting(first: Tile, second: Tile, axis: Literal["x", "y"]) -> Seam:
    i = 0 if axis == "x" else 1
    low = max(first.cell[1 - i], second.cell[1 - i])
    high = min(first.cell[3 - i], second.cell[3 - i])
    return Seam(first, second, axis, first.cell[2 + i], low, high, ())


def _mark_places(seam: Seam, circles: Sequence[Circle], avoid: Sequence[float]) -> list[float]:
    """Two places along the seam, three on a long one, each moved off holes and ruled lines [mm].

    The third is left out where it would have to lie on a hole or on the arms of a cross.
    """
    length = seam.high - seam.low
    shares = (0.1, 0.9, 0.5) if length > 170.0 else (0.12, 0.88)
    inset = min(ARM + 2.0, length / 4)
    first, last = seam.low + inset, seam.high - inset
    tries = [first + (last - first) * k / max(int(last - first), 1) for k in range(int(last - first) + 1)]
    clashes = {t: _clash(seam, t, circles, avoid) for t in tries}
    places: list[float] = []
    for share in shares:
        wish = seam.low + share * length
        apart = [t for t in tries if all(abs(t - p) > 3 * ARM for p in places)] or tries
        best = min(apart, key=lambda t: (clashes[t], abs(t - wish), t))
        if len(places) < 2 or clashes[best] < _ON_A_HOLE:
            places.append(best)
    return sorted(places)


def _clash(seam: Seam, place: float, circles: Sequence[Circle], avoid: Sequence[float]) -> int:
    """How much is against a mark there: holes and centre crosses it would lie on count most."""
    x, y = (seam.at, place) if seam.axis == "x" else (place, seam.at)
    beyond = catalogue().rule("cross-beyond")
    met = 0
    for cx, cy, r in circles:
        dx, dy = max(abs(cx - x) - _HALF, 0.0), max(abs(cy - y) - _HALF, 0.0)
        arms = (dx == 0.0 and dy < r + beyond + _AIR) or (dy == 0.0 and dx < r + beyond + _AIR)
        rim = hypot(dx, dy) < r + _AIR and hypot(abs(cx - x) + _HALF, abs(cy - y) + _HALF) > r - _AIR
        met += arms + 2 * (hypot(dx, dy) < r + _AIR) + 2 * rim
    return _ON_A_HOLE * met + sum(abs(place - line) < ARM + 1.5 for line in avoid)


def _name(number: int) -> str:
    """Small letters without look-alikes, then aa, ab, … like the columns of a table."""
    rest, index = divmod(number, len(_LETTERS))
    return (_name(rest - 1) if rest else "") + _LETTERS[index]


def mark_box(name: str, at: Point) -> Box:
    """Rectangle round a mark and its name on both sides of it, with a little air [mm]."""
    (x, y), beside = at, max(ARM, _NAME_OFF + text_width(name, _NAME)) + 0.4
    return (x - beside, y - ARM - 0.4, x + beside, y + max(ARM, _NAME_UP + ASCENT * _NAME) + 0.4)


def mark_items(name: str, at: Point) -> tuple[Item, ...]:
    """A cross in a diamond, with its name: two like-named marks belong on each other."""
    x, y = at
    diamond = ((x + _DIAMOND, y), (x, y + _DIAMOND), (x - _DIAMOND, y))
    return (
        Line((x - ARM, y), (x + ARM, y), SEAM_MARK),
        Line((x, y - ARM), (x, y + ARM), SEAM_MARK),
        Path((x, y - _DIAMOND), tuple(LineTo(p) for p in diamond), SEAM_MARK, closed=True),
        Text((x + _NAME_OFF, y + _NAME_UP), name, _NAME, TEXT),
        Text((x - _NAME_OFF, y + _NAME_UP), name, _NAME, TEXT, "end"),
    )


def clear_names(items: Sequence[Item], circles: Sequence[Circle], arms: Sequence[Item]) -> list[Item]:
    """The items of one mark without a name that touches a circle or an arm, as long as the other name stands."""
    names = [item for item in items if isinstance(item, Text)]
    fit = [name for name in names if not _touches_any(_box(name), circles, arms)] or names[:1]
    return [item for item in items if not isinstance(item, Text) or item in fit]


def _box(name: Text) -> Box:
    xs, ys = zip(*text_box(name), strict=True)
    return (min(xs) - 0.2, min(ys) - 0.2, max(xs) + 0.2, max(ys) + 0.2)


def _touches_any(box: Box, circles: Sequence[Circle], arms: Sequence[Item]) -> bool:
    x0, y0, x1, y1 = box
    for x, y, r in circles:
        near = hypot(max(x0 - x, x - x1, 0.0), max(y0 - y, y - y1, 0.0))
        if near < r < max(hypot(u - x, v - y) for u in (x0, x1) for v in (y0, y1)):
            return True
    lines = (line for line in arms if isinstance(line, Line))
    return any(
        min(a.a[0], a.b[0]) < x1 and x0 < max(a.a[0], a.b[0]) + 1e-9
        and min(a.a[1], a.b[1]) < y1 and y0 < max(a.a[1], a.b[1]) + 1e-9
        for a in lines
    )  # fmt: skip
