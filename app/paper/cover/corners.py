"""How the corners of a board are rounded, in words: by radius where that is one, else by set-back along both edges."""

from __future__ import annotations

import math
from collections.abc import Sequence

from app.drafting.words import exact
from app.geometry.outline import Corner
from app.model.resolved import ResolvedBoard
from app.units import Unit

_SQUARE = 1e-6  # cosine of the angle of a corner that counts as square
_SAME = 0.005  # mm: set-backs nearer than this are one
_MOST = 3
"""With more kinds of corner than this the drawn rim says it better than words."""


def corner_words(board: ResolvedBoard, unit: Unit) -> str:
    """As ``all four corners, radius 40 mm`` or ``back right corner, set back 60 mm …``; empty if all are sharp."""
    corners = board.outline.corners
    kinds: dict[str, list[int]] = {}
    for i, corner in enumerate(corners):
        if corner.setback is not None and max(corner.setback) > _SAME:
            kinds.setdefault(_set_back(corners, i, corner.setback, unit), []).append(i)
    if not kinds:
        return ""
    if len(kinds) > _MOST:
        count = sum(len(found) for found in kinds.values())
        return f"{count} corners, along the rim on the sheets"
    return "; ".join(f"{_which(board, found)}, {how}" for how, found in kinds.items())


def _set_back(corners: Sequence[Corner], i: int, setback: tuple[float, float], unit: Unit) -> str:
    before, here, after = corners[i - 1], corners[i], corners[(i + 1) % len(corners)]
    a = (before.x - here.x, before.y - here.y)
    b = (after.x - here.x, after.y - here.y)
    cosine = (a[0] * b[0] + a[1] * b[1]) / (math.hypot(*a) * math.hypot(*b))
    if abs(setback[0] - setback[1]) > _SAME:
        # In one order for both hands: first along the edge that runs left to right.
        along, up = (setback[0], setback[1]) if abs(a[0]) > abs(a[1]) else (setback[1], setback[0])
        return f"set back {_held(along, unit)} along the width and {_held(up, unit)} along the depth"
    if abs(cosine) < _SQUARE:
        return f"radius {_held(setback[0], unit)}"
    return f"set back {_held(setback[0], unit)} along both edges"


def _which(board: ResolvedBoard, found: Sequence[int]) -> str:
    corners = board.outline.corners
    if len(found) == len(corners):
        return f"all {_NUMBERS.get(len(found), len(found))} corners"
    if len(corners) != 4:
        return f"{len(found)} corner{'' if len(found) == 1 else 's'}"
    x0, y0, x1, y1 = board.outline.bounds
    names = [
        f"{'back' if corners[i].y > (y0 + y1) / 2 else 'front'} {'right' if corners[i].x > (x0 + x1) / 2 else 'left'}"
        for i in found
    ]
    listed = " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
    return f"{listed} corner{'' if len(names) == 1 else 's'}"


_NUMBERS = {3: "three", 4: "four", 5: "five", 6: "six", 7: "seven", 8: "eight"}


def _held(mm: float, unit: Unit) -> str:
    """A length whose number and unit stay on one line."""
    return exact(mm, unit).replace(" ", "\u00a0")
