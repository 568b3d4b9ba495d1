"""Marks on the seams: the same point of the board on both sheets, so that the two can be laid together."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from app.catalogue.load import catalogue
from app.paper.sheet.tiling import Circle, Point, Tile, Tiling
from app.scene.palette import SEAM_MARK
from app.scene.primitives import Item, Line, LineTo, Path

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

ARM = 4.0
"""A mark reaches this far from its middle, less than half the overlap of two sheets [mm]."""

_DIAMOND = 2.4
_HALF, _AIR = 5.4, 0.8  # half of what a mark takes with a name of two letters, and what stays free about it
_ON_A_HOLE = 3  # how much worse it is for a mark to lie on a hole than on a ruled line
_LETTERS = "abcdefghkmnprstuvwxyz"


class Seam(Struct, frozen=True):
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
    at = {(tile.row, tile.column): tile for tile in tiling.tiles}
    holes = np.array(circles, float).reshape(-1, 3)
    for tile in sorted(tiling.tiles, key=lambda t: (-t.row, t.column)):
        for axis, other in (
            ("x", at.get((tile.row, tile.column + 1))),
            ("y", at.get((tile.row - 1, tile.column))),
        ):
            if other is None:
                continue
            seam = _meeting(tile, other, "x" if axis == "x" else "y")
            places = _mark_places(seam, holes, avoid if axis == "x" else across)
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


def _mark_places(seam: Seam, holes: Floats, avoid: Sequence[float]) -> list[float]:
    """Two places along the seam, three on a long one, each moved off holes and ruled lines [mm].

    The third is left out where it would have to lie on a hole or on the arms of a cross.
    """
    length = seam.high - seam.low
    shares = (0.1, 0.9, 0.5) if length > 170.0 else (0.12, 0.88)
    inset = min(ARM + 2.0, length / 4)
    first, last = seam.low + inset, seam.high - inset
    tries = first + (last - first) * np.arange(int(last - first) + 1) / max(int(last - first), 1)
    clashes = _clashes(seam, tries, holes, avoid)
    apart, places = np.ones(len(tries), bool), list[float]()
    for share in shares:
        wish = seam.low + share * length
        open_to = np.nonzero(apart)[0] if apart.any() else np.arange(len(tries))
        least = open_to[clashes[open_to] == clashes[open_to].min()]
        best = least[np.abs(tries[least] - wish).argmin()]
        if len(places) < 2 or clashes[best] < _ON_A_HOLE:
            places.append(float(tries[best]))
            apart &= np.abs(tries - tries[best]) > 3 * ARM
    return sorted(places)


def _clashes(seam: Seam, places: Floats, holes: Floats, avoid: Sequence[float]) -> Ints:
    """How much is against a mark at each place: holes and centre crosses it would lie on count most."""
    beyond = catalogue().rule("cross-beyond")
    rows = _beside(seam, holes, beyond + _AIR + _HALF)
    across, along, r = rows[:, [0, 1, 2] if seam.axis == "x" else [1, 0, 2]].T
    here = places[:, None]
    # Off the seam a hole is as far from every place on it.
    aside, off = np.abs(across - seam.at), np.abs(along - here)
    d_aside, d_off = np.maximum(aside - _HALF, 0.0), np.maximum(off - _HALF, 0.0)
    reach = r + beyond + _AIR
    arms = ((d_aside == 0.0) & (d_off < reach)) | ((d_off == 0.0) & (d_aside < reach))
    # Only what lies within reach both ways can lie within it.
    place, hole = ((d_off < r + _AIR) & (d_aside < r + _AIR)).nonzero()
    on = np.hypot(d_aside[hole], d_off[place, hole]) < r[hole] + _AIR
    place, hole = place[on], hole[on]
    rim = np.hypot(aside[hole] + _HALF, off[place, hole] + _HALF) > r[hole] - _AIR
    every = len(places)
    met = arms.sum(axis=1) + 2 * np.bincount(place, minlength=every) + 2 * np.bincount(place[rim], minlength=every)
    near = (np.abs(here - np.array(avoid, float)[None, :]) < ARM + 1.5).sum(axis=1)
    return np.asarray(_ON_A_HOLE * met + near, np.int64)


def _beside(seam: Seam, holes: Floats, about: float) -> Floats:
    """The holes that reach nearer than ``about`` to the stretch of a seam [mm]."""
    across, along = (0, 1) if seam.axis == "x" else (1, 0)
    reach = holes[:, 2] + about
    off = np.maximum(np.maximum(seam.low - holes[:, along], holes[:, along] - seam.high), 0.0)
    found: Floats = holes[(np.abs(holes[:, across] - seam.at) < reach) & (off < reach)]
    return found


def _name(number: int) -> str:
    """Small letters without look-alikes, then aa, ab, … like the columns of a table."""
    rest, index = divmod(number, len(_LETTERS))
    return (_name(rest - 1) if rest else "") + _LETTERS[index]


def mark_items(at: Point) -> tuple[Item, ...]:
    """A cross in a diamond: two with one name belong on each other."""
    x, y = at
    diamond = ((x + _DIAMOND, y), (x, y + _DIAMOND), (x - _DIAMOND, y))
    return (
        Line((x - ARM, y), (x + ARM, y), SEAM_MARK),
        Line((x, y - ARM), (x, y + ARM), SEAM_MARK),
        Path((x, y - _DIAMOND), tuple(LineTo(p) for p in diamond), SEAM_MARK, closed=True),
    )
