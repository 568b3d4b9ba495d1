"""Holes of boards measured on printed pages: wherever a board lies there, whole, tiled or turned by a quarter.

A page shows a board by its rim, which is drawn whole even where only a window of it is printed. What is measured is
taken from that rim, so it is true on the board itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

import numpy as np
import numpy.typing as npt
import pymupdf
from msgspec import Struct

from tests.reading.measure import POINT, fit_circle, pdf_curves

Floats = npt.NDArray[np.float64]

WITHIN = 0.01
"""How far a hole, or a side of a board, may be off [mm]."""


class Hole(Struct, frozen=True):
    """A round hole that was asked for [mm]; NaN is what nobody typed."""

    x: float
    y: float
    diameter: float

    def is_at(self, found: Floats) -> bool:
        """Whether a circle, as x, y and diameter, is this hole."""
        return all(
            math.isnan(want) or abs(want - got) <= WITHIN for want, got in zip(astuple(self), found, strict=True)
        )


def astuple(hole: Hole) -> tuple[float, float, float]:
    """Its measures in order [mm]."""
    return hole.x, hole.y, hole.diameter


class PrintedBoard(Struct, frozen=True):
    """A board as it lies on one page.

    Args:
        page: number of the page, the cover being 0.
        circles: every circle inside its rim: centre from the left and front edge of the rim, and diameter, shape
            (n, 3) [mm].
        shown: which of them have their centre in a window that is printed.
        sides: of the rim, as it lies [mm].
    """

    page: int
    circles: Floats
    shown: npt.NDArray[np.bool_]
    sides: tuple[float, float]

    def turned(self) -> PrintedBoard:
        """The same, lying as it was before it was turned by a quarter, anticlockwise."""
        x, y, wide = self.circles.T
        return PrintedBoard(self.page, np.column_stack([y, self.sides[0] - x, wide]), self.shown, self.sides[::-1])


def circles_on(data: bytes, number: int) -> Floats:
    """Centre and diameter of every whole circle on a page, shape (n, 3) [mm]; arcs are none."""
    closed = [run for run in pdf_curves(data, number) if np.hypot(*(run[0] - run[-1])) <= WITHIN]
    fits = [fit_circle(run) for run in closed]
    found = [(fit.x, fit.y, fit.diameter) for fit in fits if fit.spread < WITHIN]
    return np.array(found, dtype=np.float64).reshape(-1, 3)


def boards_on(data: bytes, sizes: Iterable[tuple[float, float]]) -> list[PrintedBoard]:
    """Every board on every page but the cover, known by its size, lying either way.

    Args:
        data: the file.
        sizes: width and depth of the boards [mm].
    """
    wanted = {tuple(sorted(size)) for size in sizes}
    found = []
    with pymupdf.open(stream=data, filetype="pdf") as file:
        for page in list(file)[1:]:
            windows, circles = _windows(page), circles_on(data, page.number)
            for x0, y0, x1, y1 in _rims(page, wanted):
                x, y, _ = circles.T
                inside = circles[(x > x0) & (x < x1) & (y > y0) & (y < y1)]
                x, y, _ = inside.T
                shown = np.zeros(len(inside), dtype=bool)
                for left, front, right, back in windows:
                    shown |= (x > left) & (x < right) & (y > front) & (y < back)
                found.append(PrintedBoard(page.number, inside - (x0, y0, 0.0), shown, (x1 - x0, y1 - y0)))
    return found


def _upright(page: pymupdf.Page, rect: pymupdf.Rect) -> tuple[float, float, float, float]:
    """A rectangle of a page from its lower left corner, in mm."""
    high = page.rect.height
    return rect.x0 * POINT, (high - rect.y1) * POINT, rect.x1 * POINT, (high - rect.y0) * POINT


def _windows(page: pymupdf.Page) -> list[tuple[float, float, float, float]]:
    """What of a page is printed of boards: its clips, or all of it where nothing is clipped."""
    clips = [d["scissor"] for d in page.get_drawings(extended=True) if d["type"] == "clip"]
    return [_upright(page, rect) for rect in clips or [page.rect]]


def _rims(page: pymupdf.Page, wanted: set[tuple[float, ...]]) -> list[tuple[float, float, float, float]]:
    """Outlines in one unbroken line that are as large as a board."""
    found = []
    for path in page.get_drawings():
        if path["type"] == "f" or path["dashes"] not in {None, "", "[] 0"}:
            continue
        box = _upright(page, path["rect"])
        sides = sorted((box[2] - box[0], box[3] - box[1]))
        if any(max(abs(a - b) for a, b in zip(sides, size, strict=True)) <= WITHIN for size in wanted):
            found.append(box)
    return found


def matches(board: PrintedBoard, holes: Sequence[Hole]) -> list[int] | None:
    """Which of the holes each circle of a board is; None where one is none of them, or two are the same."""
    which = []
    for found in board.circles:
        here = [k for k, hole in enumerate(holes) if hole.is_at(found)]
        if len(here) != 1:
            return None
        which.append(here[0])
    return which if len(set(which)) == len(which) else None


def assert_all_drilled(
    data: bytes, boards: Mapping[str, tuple[tuple[float, float], Sequence[Hole]]], *, copies: Mapping[str, int]
) -> None:
    """Every hole of every board is printed, each circle on a board is one of its holes, and boards lie as often.

    Args:
        data: the file.
        boards: size and holes of each board, by name.
        copies: how many boards there are of each; 1 where it is not said.
    """
    shown: dict[str, dict[int, int]] = {name: {} for name in boards}
    for printed in boards_on(data, [size for size, _ in boards.values()]):
        for name, (size, holes) in boards.items():
            ways = [way for way in (printed, printed.turned()) if np.allclose(way.sides, size, rtol=0, atol=WITHIN)]
            found = next((which for way in ways if (which := matches(way, holes)) is not None), None)
            if found is not None:
                for k, there in zip(found, printed.shown, strict=True):
                    shown[name][k] = shown[name].get(k, 0) + int(there)
                break
        else:
            raise AssertionError(f"page {printed.page}: a board of {printed.sides} mm with {printed.circles.tolist()}")
    for name, (_, holes) in boards.items():
        assert sorted(shown[name]) == list(range(len(holes))), (name, len(shown[name]), len(holes))
        least = min(shown[name].values(), default=copies.get(name, 1))
        assert least >= copies.get(name, 1), (name, "a hole is on no sheet")
