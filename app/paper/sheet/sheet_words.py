"""Words along lines of a sheet: what a ruled line is, which sheet joins at a seam, which edge is the datum."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
import numpy.typing as npt

from app.drafting.labels.free_rows import FreeRow
from app.drafting.labels.placer import Placer
from app.drafting.labels.rectangles import turned
from app.drafting.labels.word_key import WordKey
from app.drafting.template.drill_template import Template
from app.drafting.words import exact
from app.paper.sheet.registration import Seam
from app.paper.sheet.ruled import RuledLine
from app.paper.sheet.tiling import Tile
from app.scene.metrics import ASCENT, DESCENT, text_width
from app.scene.palette import TEXT, TEXT_GUIDE, TEXT_MUTED
from app.scene.primitives import Item, LineTo, Style, Text
from app.units import Unit

Floats = npt.NDArray[np.float64]

_SIZE: Final = 3.2
_SMALL: Final = 2.8
_LEAST: Final = 2.2
_PACE: Final = 2.0
_ASIDE, _ALONG = 30.0, 0.05  # tolls of words on the other side of their line, and of each step along it
_SAME: Final = 1e-6  # mm


Band = tuple[float, float]
"""Where a row begins and ends across [mm]."""

_Row = tuple[FreeRow | None, Band, float]


def ruled_words(
    ruled: Sequence[RuledLine], template: Template, tile: Tile, placer: Placer, key: WordKey, unit: Unit
) -> list[Item]:
    """Beside each ruled line that is on this sheet: how far it is from its datum edge, or a number in the key."""
    window, box = tile.window, template.box
    items: list[Item] = []
    for line in ruled:
        across, along = (0, 1) if line.axis == "x" else (1, 0)
        if not window[across] < line.at < window[across + 2]:
            continue
        edge = "left" if line.axis == "x" else "front"
        name = "centre line" if line.centre else "rule"
        where = f"{exact(line.distance, unit)} from the {edge} edge"
        whole = f"{name}, {where}: rule it on the board" if line.centre else f"rule on the board, {where}"
        ends = (max(window[along], box[along]), min(window[along + 2], box[along + 2]))
        paper = (window[along], window[along + 2])
        found = _beside((whole, where), line.axis, line.at, ends, placer, TEXT_GUIDE, (1.0, -1.0))
        found = found or _beside((whole, where), line.axis, line.at, paper, placer, TEXT_GUIDE, (1.0, -1.0))
        if not found:
            found = _beside((key.next_tag,), line.axis, line.at, paper, placer, TEXT_GUIDE, (1.0, -1.0))
            if found:
                key.further(whole)
            else:
                key.loose(f"{'left-to-right' if line.axis != 'x' else 'front-to-back'} line: {whole}")
        items += found
    return items


def seam_words(seams: Sequence[Seam], tile: Tile, placer: Placer, key: WordKey) -> list[Item]:
    """Along each seam: which sheet joins there, and which of the two is cut."""
    items: list[Item] = []
    for seam in seams:
        other = seam.second if tile == seam.first else seam.first
        name = f"row {other.row}, column {other.column}"
        if tile == seam.first:
            options: tuple[str, ...] = (f"joins {name}, which goes on top", f"joins {name}")
            sides = (1.0, -1.0)
        else:
            options = (f"cut here; joins {name}, on top of it", f"cut here; joins {name}")
            sides = (-1.0, 1.0)
        if seam.axis == "x":
            sides = (-sides[0], -sides[1])
        beside = _beside(options, seam.axis, seam.at, (seam.low, seam.high), placer, TEXT, sides)
        side = _SIDES[seam.axis][tile == seam.first]
        cut = "" if tile == seam.first else "cut along the dashed line, "
        items += beside or legend((f"{side}: {cut}joins {name}",), tile, placer, key)
    return items


_SIDES: Final = {"x": ("left side", "right side"), "y": ("front side", "back side")}
"""Where a seam is on its second sheet and on its first."""


def edge_words(template: Template, tile: Tile, placer: Placer) -> list[Item]:
    """Inside the rim: which edge is the front, and which the left datum edge; if need be outside it.

    Where the rim is round, an edge is the line that touches it, and the words say so.
    """
    x0, y0, x1, y1 = template.box
    wx0, wy0, wx1, wy1 = tile.window
    items: list[Item] = []
    if wy0 < y0 < wy1:
        options: tuple[str, ...] = ("front edge, towards the player", "front edge")[0 if template.played else 1 :]
        if any(line.a[1] == line.b[1] for line in template.datum):
            options = ("front edge: this line, which touches the rim", "front edge: this line", "front edge")
        ends = _along_edge(template, 1, y0, (max(wx0, x0), min(wx1, x1)))
        items += _beside(options, "y", y0, ends, placer, TEXT_MUTED, (1.0, -1.0))
    left = template.view.x(x0)
    if wx0 < left < wx1:
        sides = (1.0, -1.0) if template.view.mirrored else (-1.0, 1.0)
        options = ("left edge, measure from here", "left edge")
        if any(line.a[0] == line.b[0] for line in template.datum):
            options = ("left edge: this line, which touches the rim", "left edge: this line", "left edge")
        ends = _along_edge(template, 0, left, (max(wy0, y0), min(wy1, y1)))
        items += _beside(options, "x", left, ends, placer, TEXT_MUTED, sides)
    return items


def _along_edge(template: Template, axis: int, at: float, whole: tuple[float, float]) -> tuple[float, float]:
    """Where in a window the rim runs straight along a datum edge, the longest of it; all of the edge if nowhere."""
    rim = template.outline[0]
    points = [rim.start, *(step.end for step in rim.steps)]
    steps = [*zip(points, points[1:], rim.steps, strict=False), (points[-1], rim.start, LineTo(rim.start))]
    found = [
        (max(whole[0], min(a[1 - axis], b[1 - axis])), min(whole[1], max(a[1 - axis], b[1 - axis])))
        for a, b, step in steps
        if isinstance(step, LineTo) and max(abs(a[axis] - at), abs(b[axis] - at)) < _SAME
    ]
    low, high = max(found, key=lambda ends: ends[1] - ends[0], default=whole)
    return (low, high) if high > low else whole


def legend(lines: Sequence[str], tile: Tile, placer: Placer, key: WordKey) -> list[Item]:
    """A few lines in a free place low on the sheet, clear of everything; in the key if there is none."""
    found = _block(lines, tile, placer, _SIZE, TEXT_MUTED)
    if not found:
        key.loose(" ".join(lines))
    return found


def in_the_window(entries: Sequence[str], tile: Tile, placer: Placer, head: str = "") -> tuple[list[Item], list[str]]:
    """Lines of a key in free places of the window, together if they can be; and those there is no place for."""
    if not entries:
        return [], []
    whole = _block([head, *entries] if head else entries, tile, placer, _SMALL, TEXT)
    if whole or len(entries) == 1:
        return whole, [] if whole else list(entries)
    items: list[Item] = []
    left: list[str] = []
    for entry in entries:
        found = _block([entry], tile, placer, _SMALL, TEXT) or _block([entry], tile, placer, _LEAST, TEXT)
        items += found
        left += [] if found else [entry]
    return items, left


def _block(lines: Sequence[str], tile: Tile, placer: Placer, size: float, style: Style) -> list[Item]:
    """Lines under one another in the lowest free place; nothing if there is none."""
    x0, y0, x1, y1 = tile.window
    pitch = 1.3 * size
    width = max(text_width(line, size) for line in lines)
    height = pitch * len(lines)
    for pace in (6.0, 2.0):
        across = np.arange(x0 + 3.0, max(x1 - width - 3.0, x0 + 3.0) + 1e-9, pace)
        up = np.arange(y0 + 3.0, max(y1 - height - 3.0, y0 + 3.0) + 1e-9, pace)
        columns, rows = (
            np.column_stack([across - 1.0, across + width + 1.0]),
            np.column_stack([up - 1.0, up + height + 1.0]),
        )
        found = placer.first_in_grid(columns, rows)
        if found is not None:
            (low, high), (left, right) = rows[found[0]].tolist(), columns[found[1]].tolist()
            placer.take((left, low, right, high))
            left, top = float(across[found[1]]), float(up[found[0]]) + height - 0.8 * size
            return [Text((left, top - k * pitch), line, size, style) for k, line in enumerate(lines)]
    return []


def _beside(
    options: Sequence[str],
    axis: str,
    at: float,
    along: tuple[float, float],
    placer: Placer,
    style: Style,
    sides: Sequence[float],
) -> list[Item]:
    """The first of ``options`` that finds a free place beside a line; nothing if none does.

    ``sides`` are tried in order: 1 is above a level line, or to the left of an upright one, whose words are
    read from the right.
    """
    for size in (_SIZE, _SMALL):
        rows = _Rows(size, axis, at, sides, placer)
        for text in options:
            width = text_width(text, size)
            starts = np.arange(along[0] + 2.0, along[1] - 2.0 - width + 1e-9, _PACE)
            best = rows.first(starts, width)
            if best is not None:
                first, band, base = best
                start = float(starts[first])
                placer.take(turned((start, band[0], start + width, band[1]), 0 if axis == "y" else 1))
                place = (start, base) if axis == "y" else (base, start)
                return [Text(place, text, size, style, angle=90.0 if axis == "x" else 0.0)]
    return []


class _Rows:
    """The rows for words of a size on the sides of a line, each looked at when it is first asked for."""

    def __init__(self, size: float, axis: str, at: float, sides: Sequence[float], placer: Placer) -> None:
        self._line, self._sides, self._placer = (size, axis, at), sides, placer
        self._made: list[_Row] = []

    def first(self, starts: Floats, width: float) -> tuple[int, Band, float] | None:
        """The best of the first free places in each row; a row is looked at only if it might be better.

        Returns:
            Its number among ``starts``, where its row lies, and the baseline in it; None if no row has a free place.
        """
        best: tuple[float, tuple[int, Band, float]] | None = None
        for number, side in enumerate(self._sides):
            if best is not None and best[0] <= _ASIDE * number:
                break
            if number == len(self._made):
                self._made.append(_row(*self._line, side, self._placer))
            row, band, base = self._made[number]
            first = row.first(starts, width) if row is not None else None
            if first is not None and (best is None or _ASIDE * number + _ALONG * first < best[0]):
                best = (_ASIDE * number + _ALONG * first, (first, band, base))
        return best[1] if best else None


def _row(size: float, axis: str, at: float, side: float, placer: Placer) -> _Row:
    """The row for words of a size beside a line, where it lies across, and the baseline in it [mm]."""
    # Baseline off the line: letters stand above it, or hang below it by their height; an upright one's to its left.
    off = 0.9 + DESCENT * size if side > 0 else -0.9 - ASCENT * size
    base = at + off if axis == "y" else at - off
    low, high = (DESCENT * size, ASCENT * size) if axis == "y" else (ASCENT * size, DESCENT * size)
    band = (base - low, base + high)
    return placer.row(band, 0 if axis == "y" else 1), band, base
