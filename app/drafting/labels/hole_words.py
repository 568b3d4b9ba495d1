"""The letter, size and counterbore beside each hole of a template."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from math import dist
from typing import Final, Literal

import numpy as np
import numpy.typing as npt

from app.drafting.labels.placer import Box, Placer
from app.drafting.labels.word_blocks import Block, full_blocks, keyed_blocks, number_block
from app.drafting.labels.word_key import WordKey
from app.drafting.template.drill_template import Mark
from app.scene.palette import DIMENSION, TEXT
from app.scene.primitives import Item, Line, Point, Text

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

_ANGLES: Final = (
    45.0, 135.0, -45.0, -135.0, 25.0, 155.0, 65.0, 115.0, -25.0, -155.0, -65.0, -115.0,
    35.0, 145.0, 55.0, 125.0, -35.0, -145.0, -55.0, -125.0, 75.0, 105.0, -75.0, -105.0, 15.0, 165.0, -15.0, -165.0,
)  # fmt: skip
_NEAR: Final = (1.2, 2.0, 3.0, 4.2, 0.8, 0.6)
_OFF: Final = (5.5, 7.0, 9.0, 11.0, 13.0)
_FAR: Final = (*_OFF, 15.5, 18.0, 21.0, 24.0, 28.0, 33.0, 40.0)
_LEADER_FROM: Final = 5.0
_SURE, _PLAIN = 4.0, 8.0  # words so much nearer to their hole than to another may do, and do, without a leader [mm]
_BACK: Final = 0.3  # what a leader keeps from its words [mm]
_ASTRAY: Final = 12.0  # toll of words on the wrong side of a seam, where the other sheet covers them
_NEAR_ENOUGH: Final = 60.0  # beyond which words near a hole cross no ruled line [mm]
_TRIED: Final = 40  # places a leader is tried to

How = Literal["near", "off", "far", "inside"]


@dataclass(frozen=True, slots=True)
class WordSetting:
    """How words are set on a sheet.

    Args:
        cell: what of the board is this sheet's between the seams [mm].
        own: whether the hole lies in it; words stay on the side of the seam their hole is on, where they can.
        crowded: whether the holes lie so close that words go into the key before they go far off.
    """

    cell: Box
    own: bool = True
    crowded: bool = False


@dataclass(frozen=True, slots=True)
class _Try:
    block: Block
    how: How
    across: bool = False


def first_places(marks: Sequence[Mark], placer: Placer, way: WordSetting) -> list[Flags]:
    """Which of the places that are tried first for the words of each hole have nothing drawn on them.

    Asked for all holes of a sheet at once, which takes a fraction of the time of asking for one after the other.
    """
    if not marks:
        return []
    each = [_places(mark, _first(mark, way), "near")[0] for mark in marks]
    return list(placer.clear(np.concatenate(each)).reshape(len(marks), -1))


def set_words(
    mark: Mark, placer: Placer, key: WordKey, way: WordSetting, first: Flags | None = None
) -> list[Item] | None:
    """The words of one hole, in the best free place beside, near or in it; None if there is no place at all.

    What is too long for the place there is goes into the key, and its number stands beside the hole.

    Args:
        mark: what to write and where the hole is.
        placer: what is taken already; the chosen place is taken from it.
        key: takes what is not written out.
        way: how words are set here.
        first: what :func:`first_places` says of this hole, if that was asked.
    """
    (x, y), far = mark.at, mark.clear + _NEAR_ENOUGH
    ruled: bool | None = None
    for number, one in enumerate(_tries(mark, key, way)):
        if one.across:
            ruled = placer.crossed((x - far, y - far, x + far, y + far)) if ruled is None else ruled
            if not ruled:
                continue
        known = first if number == 0 else None
        place = _inside(mark, one, placer) if one.how == "inside" else _beside(mark, one, placer, way, known)
        if place is None:
            continue
        box, anchor, leader = place
        placer.take(box)
        if one.block.keyed == "work":
            key.use(mark.lines)
        elif one.block.keyed == "hole":
            key.further(key.said(mark))
        items = _written(one.block, box, right=anchor[0] > mark.at[0])
        if leader is not None:
            placer.take_line(leader.a, leader.b)
            items.append(leader)
        return items
    return None


def _tries(mark: Mark, key: WordKey, way: WordSetting) -> Iterator[_Try]:
    """What to write and where to try it, the best first: all of it near the hole, then what says it elsewhere."""
    _, small, *less = full_blocks(mark)
    everything = [small, *less]
    if not way.crowded:
        yield _Try(_first(mark, way), "near")
        yield _Try(_first(mark, way), "off")
    yield _Try(small, "near")
    if not way.crowded:
        yield _Try(small, "far")
    yield from (_Try(block, "near") for block in less)
    yield from (_Try(block, "inside") for block in everything)
    yield from (_Try(block, "near", across=True) for block in everything)
    keyed = keyed_blocks(mark, key.tag(mark.lines))
    for how, across in (("near", False), ("inside", False), ("near", True)):
        yield from (_Try(block, "inside" if how == "inside" else "near", across) for block in keyed)
    if way.own or not way.crowded:
        yield from (_Try(block, "far") for block in (*less, *keyed))
        for how, across in (("near", False), ("inside", False), ("near", True), ("far", False)):
            yield _Try(number_block(key.next_tag), how, across)  # type: ignore[arg-type]


def _first(mark: Mark, way: WordSetting) -> Block:
    """The block that is tried first."""
    large, small, *_ = full_blocks(mark)
    return small if way.crowded else large


_Place = tuple[Box, Point, Line | None]


def _beside(mark: Mark, one: _Try, placer: Placer, way: WordSetting, clear: Flags | None = None) -> _Place | None:
    """The best free place round the hole, the corner of it that is nearest, and a leader if it needs one."""
    boxes, anchors, tolls = _places(mark, one.block, one.how)
    good = placer.free(boxes, across=one.across) if clear is None else placer.untaken(boxes, clear)
    free = np.flatnonzero(good)
    if not len(free):
        return None
    boxes, anchors = boxes[free], anchors[free]
    tolls = tolls[free] + _ASTRAY * _astray(boxes, way) + placer.doubt(boxes)
    best: tuple[float, _Place] | None = None
    own = (*mark.at, mark.clear)
    for k in np.argsort(tolls, kind="stable")[:_TRIED]:
        box: Box = tuple(boxes[k].tolist())
        anchor: Point = (float(anchors[k, 0]), float(anchors[k, 1]))
        gap = dist(anchor, mark.at) - mark.clear
        sure = placer.nearer(box, own) if gap <= _LEADER_FROM else 0.0
        if sure >= _PLAIN:
            return (box, anchor, None) if best is None or tolls[k] < best[0] else best[1]
        leader, outside = _leader(mark, anchor)
        cost = placer.leader_cost(outside, leader.a)
        if cost is None and sure < _SURE:
            continue
        if cost is None:
            return (box, anchor, None) if best is None or tolls[k] < best[0] else best[1]
        if cost == 0.0:
            return (box, anchor, leader) if best is None or tolls[k] < best[0] else best[1]
        if best is None or tolls[k] + cost < best[0]:
            best = (tolls[k] + cost, (box, anchor, leader))
    return best[1] if best else None


def _leader(mark: Mark, anchor: Point) -> tuple[Line, Point]:
    """A line from the words to the rim of their hole, and where it comes clear of it."""
    d = dist(anchor, mark.at)
    u = ((anchor[0] - mark.at[0]) / d, (anchor[1] - mark.at[1]) / d)
    rim = (mark.at[0] + u[0] * mark.clear, mark.at[1] + u[1] * mark.clear)
    off = min(0.8, d - mark.clear - _BACK)
    outside = (rim[0] + u[0] * off, rim[1] + u[1] * off)
    return Line((anchor[0] - _BACK * u[0], anchor[1] - _BACK * u[1]), rim, DIMENSION), outside


@lru_cache(maxsize=4)
def _rays(how: How) -> tuple[Floats, Floats]:
    """Direction and gap of each place about a hole, rows (cosine, sine, gap), and how little each is liked."""
    gaps, first = (_NEAR, 0) if how == "near" else (_OFF if how == "off" else _FAR, len(_NEAR))
    rows, tolls = [], []
    for (step, gap), (rank, angle) in product(enumerate(gaps, first), enumerate(_ANGLES)):
        c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
        rows.append((c, s, gap))
        tolls.append(4.0 * step + 0.2 * rank + (5.0 if s < 0 else 0.0))  # words above a hole read best
    return np.array(rows), np.array(tolls)


def _places(mark: Mark, block: Block, how: How) -> tuple[Floats, Floats, Floats]:
    """Boxes round the hole, the corner of each that is nearest to it, and how little each is liked."""
    boxes, anchors = _about(how, block.width, block.height, mark.clear)
    at = np.array((*mark.at, *mark.at))
    return boxes + at, anchors + at[:2], _rays(how)[1]


@lru_cache(maxsize=2048)
def _about(how: How, width: float, height: float, clear: float) -> tuple[Floats, Floats]:
    """Boxes round a hole at the origin, and their nearest corners."""
    rays, _ = _rays(how)
    anchors = rays[:, :2] * (clear + rays[:, 2:])
    size = np.array((width, height))
    low = np.where(rays[:, :2] > 0, anchors, anchors - size)
    return np.hstack([low, low + size]), anchors


def _astray(boxes: Floats, way: WordSetting) -> Flags:
    """Which of ``boxes`` lie where the sheet beside covers them, or, of a hole of that sheet, where it does not."""
    x0, y0, x1, y1 = way.cell
    inside = (boxes[:, 0] >= x0) & (boxes[:, 1] >= y0) & (boxes[:, 2] <= x1) & (boxes[:, 3] <= y1)
    return np.asarray(~inside if way.own else inside, bool)


def _inside(mark: Mark, one: _Try, placer: Placer) -> _Place | None:
    """A place in a quarter of the hole itself, where no line runs; None if it is too small."""
    room, w, h = mark.clear - 0.5, one.block.width, one.block.height
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
    boxes = np.hstack([low, low + np.array((w, h))])
    free = np.nonzero(placer.free(boxes, inside=True))[0]
    if not len(free):
        return None
    k = free[np.argmin((i + j + 0.1 * (sx < 0) + 0.2 * (sy < 0))[free])]
    return tuple(boxes[k].tolist()), (x + float(sx[k]), y + float(sy[k])), None


def _written(block: Block, box: Box, *, right: bool) -> list[Item]:
    start = box[0] if right else box[2]
    return [
        Text((start, box[3] - row.drop), row.text, row.size, TEXT, "start" if right else "end", bold=row.bold)
        for row in block.rows
    ]
