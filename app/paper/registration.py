"""Marks on the seams: the same point of the board on both sheets, so that the two can be laid together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from app.paper.tiling import Circle, Point, Tile, Tiling
from app.scene.palette import SEAM_MARK, TEXT
from app.scene.primitives import Item, Line, LineTo, Path, Text

ARM = 4.0
"""A mark reaches this far from its middle, less than half the overlap of two sheets [mm]."""

_DIAMOND = 2.4
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
    """Two places along the seam, three on a long one, each moved off holes and ruled lines [mm]."""
    length = seam.high - seam.low
    shares = (0.1, 0.5, 0.9) if length > 170.0 else (0.12, 0.88)
    inset = min(ARM + 2.0, length / 4)
    places: list[float] = []
    for share in shares:
        wish = seam.low + share * length
        tries = [wish + s * 2.0 * k for k in range(int(length / 6)) for s in (1, -1)]
        tries = [t for t in tries if seam.low + inset <= t <= seam.high - inset] or [wish]
        apart = [t for t in tries if all(abs(t - p) > 3 * ARM for p in places)] or tries
        places.append(min(apart, key=lambda t: (_clash(seam, t, circles, avoid), abs(t - wish), t)))
    return sorted(places)


def _clash(seam: Seam, place: float, circles: Sequence[Circle], avoid: Sequence[float]) -> int:
    x, y = (seam.at, place) if seam.axis == "x" else (place, seam.at)
    on_holes = sum((cx - x) ** 2 + (cy - y) ** 2 < (r + 5.0 + ARM) ** 2 for cx, cy, r in circles)
    return 3 * on_holes + sum(abs(place - line) < ARM + 1.5 for line in avoid)


def _name(number: int) -> str:
    """Small letters without look-alikes, then aa, ab, … like the columns of a table."""
    rest, index = divmod(number, len(_LETTERS))
    return (_name(rest - 1) if rest else "") + _LETTERS[index]


def mark_items(name: str, at: Point) -> tuple[Item, ...]:
    """A cross in a diamond, with its name: two like-named marks belong on each other."""
    x, y = at
    diamond = ((x + _DIAMOND, y), (x, y + _DIAMOND), (x - _DIAMOND, y))
    return (
        Line((x - ARM, y), (x + ARM, y), SEAM_MARK),
        Line((x, y - ARM), (x, y + ARM), SEAM_MARK),
        Path((x, y - _DIAMOND), tuple(LineTo(p) for p in diamond), SEAM_MARK, closed=True),
        Text((x + 1.6, y + 2.5), name, 2.8, TEXT),
        Text((x - 1.6, y + 2.5), name, 2.8, TEXT, "end"),
    )
