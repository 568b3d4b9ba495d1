"""Where the words of a hole may stand: round it on many rays, near or far off, or in a quarter of the hole itself."""

from __future__ import annotations

from functools import lru_cache
from itertools import product
from typing import Final, Literal, NamedTuple

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from app.drafting.labels.rectangles import Box
from app.drafting.labels.word_blocks import WordBlock
from app.drafting.template.pattern_marks import CentreMark
from app.scene.primitives import Point

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.intp]

_ANGLES: Final = (
    45.0, 135.0, -45.0, -135.0, 25.0, 155.0, 65.0, 115.0, -25.0, -155.0, -65.0, -115.0,
    35.0, 145.0, 55.0, 125.0, -35.0, -145.0, -55.0, -125.0, 75.0, 105.0, -75.0, -105.0, 15.0, 165.0, -15.0, -165.0,
)  # fmt: skip
_NEAR: Final = (1.2, 2.0, 3.0, 4.2, 0.8, 0.6)
_OFF: Final = (5.5, 7.0, 9.0, 11.0, 13.0)
_FAR: Final = (*_OFF, 15.5, 18.0, 21.0, 24.0, 28.0, 33.0, 40.0)
_ASTRAY: Final = 12.0  # toll of words on the wrong side of a seam, where the other sheet covers them

How = Literal["near", "off", "far", "inside"]


class WordSetting(Struct, frozen=True):
    """How words are set on a sheet.

    Args:
        cell: what of the board is this sheet's between the seams [mm].
        own: whether the hole lies in it; words stay on the side of the seam their hole is on, where they can.
        crowded: whether the holes lie so close that words go into the key before they go far off.
    """

    cell: Box
    own: bool = True
    crowded: bool = False


class WordPlace(NamedTuple):
    """A place for the words of a hole.

    Args:
        toll: what is against it; less is better.
        box: what the words take there [mm].
        anchor: the corner of it that is nearest to the hole [mm].
    """

    toll: float
    box: Box
    anchor: Point


@lru_cache(maxsize=4)
def rays(how: How) -> tuple[Floats, Floats]:
    """Direction and gap of each place about a hole, rows (cosine, sine, gap), and how little each is liked."""
    gaps, first = (_NEAR, 0) if how == "near" else (_OFF if how == "off" else _FAR, len(_NEAR))
    rows, tolls = [], []
    for (step, gap), (rank, angle) in product(enumerate(gaps, first), enumerate(_ANGLES)):
        c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
        rows.append((c, s, gap))
        tolls.append(4.0 * step + 0.2 * rank + (5.0 if s < 0 else 0.0))  # words above a hole read best
    return np.array(rows), np.array(tolls)


@lru_cache(maxsize=2048)
def about(how: How, width: float, height: float, clear: float) -> tuple[Floats, Floats]:
    """Boxes of a size round a hole at the origin, and their nearest corners, as far off as ``clear`` and a gap [mm]."""
    directions, _ = rays(how)
    anchors = directions[:, :2] * (clear + directions[:, 2:])
    size = np.array((width, height))
    low = np.where(directions[:, :2] > 0, anchors, anchors - size)
    return np.hstack([low, low + size]), anchors


def places(mark: CentreMark, block: WordBlock, how: How) -> tuple[Floats, Floats, Floats]:
    """Boxes round the hole, the corner of each that is nearest to it, and how little each is liked."""
    boxes, anchors = about(how, block.width, block.height, mark.clear)
    at = np.array((*mark.at, *mark.at))
    return boxes + at, anchors + at[:2], rays(how)[1]


def astray(boxes: Floats, cell: Box, own: bool | Flags) -> Floats:
    """What is against ``boxes``, shape (…, 4), where the sheet beside covers them, or, of its own holes, does not.

    Args:
        boxes: where words might stand [mm].
        cell: what of the board is this sheet's between the seams [mm].
        own: whether their hole lies in it; an array if they are of several.
    """
    inside = (boxes[..., 0] >= cell[0]) & (boxes[..., 1] >= cell[1])
    inside &= (boxes[..., 2] <= cell[2]) & (boxes[..., 3] <= cell[3])
    return np.where(inside == own, 0.0, _ASTRAY)


def quarters(mark: CentreMark, block: WordBlock) -> tuple[Floats, Floats, Floats] | None:
    """Boxes in a quarter of the hole itself, corner and toll of each; None if it is too small for the block."""
    room, w, h = mark.clear - 0.5, block.width, block.height
    if w + 0.7 > room or h + 0.7 > room:
        return None
    steps = [0.7, *np.arange(0.95, room - min(w, h), 0.75).tolist()]
    rows = [(sx, sy, i, j) for i, j in product(steps, steps) if np.hypot(i + w, j + h) <= room
            for sx, sy in ((1, 1), (-1, 1), (1, -1), (-1, -1))]  # fmt: skip
    if not rows:
        return None
    sx, sy, i, j = np.array(rows).T
    x, y = mark.at
    low = np.column_stack([np.where(sx > 0, x + i, x - i - w), np.where(sy > 0, y + j, y - j - h)])
    corners = np.column_stack([x + sx * i, y + sy * j])
    return np.hstack([low, low + np.array((w, h))]), corners, i + j + 0.1 * (sx < 0) + 0.2 * (sy < 0)
