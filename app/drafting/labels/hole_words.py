"""The letter, size and counterbore beside each hole of a template."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import dist
from typing import Final

import numpy as np
from msgspec import Struct

from app.drafting.labels.placer import Placer
from app.drafting.labels.rectangles import Box
from app.drafting.labels.word_blocks import WordBlock, full_blocks, keyed_blocks, number_block
from app.drafting.labels.word_key import WordKey
from app.drafting.labels.word_places import How, WordPlace, WordSetting, astray, places, quarters
from app.drafting.template.pattern_marks import CentreMark
from app.scene.palette import DIMENSION, TEXT
from app.scene.primitives import Item, Line, Point, Text

_LEADER_FROM: Final = 5.0
_SURE, _PLAIN = 4.0, 8.0  # words so much nearer to their hole than to another may do, and do, without a leader [mm]
_BACK: Final = 0.3  # what a leader keeps from its words [mm]
_NEAR_ENOUGH: Final = 60.0  # beyond which words near a hole cross no ruled line [mm]
_TRIED: Final = 40  # places a leader is tried to


class _Try(Struct, frozen=True):
    block: WordBlock
    how: How
    across: bool = False


_Found = tuple[Box, Point, Line | None]
"""Where words stand, the corner of it that is nearest to their hole, and a leader if they need one."""


def set_words(
    mark: CentreMark, placer: Placer, key: WordKey, way: WordSetting, first: Iterable[WordPlace] = ()
) -> list[Item] | None:
    """The words of one hole, in the best free place beside, near or in it; None if there is no place at all.

    What is too long for the place there is goes into the key, and its number stands beside the hole.

    Args:
        mark: what to write and where the hole is.
        placer: what is taken already; the chosen place is taken from it.
        key: takes what is not written out.
        way: how words are set here.
        first: the best places for what is tried first, best first, if they are known; a caller may stop anywhere.
    """
    (x, y), far = mark.at, mark.clear + _NEAR_ENOUGH
    ruled: bool | None = None
    for number, one in enumerate(_tries(mark, key, way)):
        if one.across:
            ruled = placer.crossed((x - far, y - far, x + far, y + far)) if ruled is None else ruled
            if not ruled:
                continue
        place = _sure(mark, first, placer) if number == 0 else None
        place = place or (_inside(mark, one, placer) if one.how == "inside" else _beside(mark, one, placer, way))
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


def _tries(mark: CentreMark, key: WordKey, way: WordSetting) -> Iterator[_Try]:
    """What to write and where to try it, the best first: all of it near the hole, then what says it elsewhere."""
    large, small, *less = full_blocks(mark)
    everything = [small, *less]
    if not way.crowded:
        yield _Try(large, "near")
        yield _Try(large, "off")
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


def first_block(mark: CentreMark, way: WordSetting) -> WordBlock:
    """The block that is tried first, near its hole."""
    large, small, *_ = full_blocks(mark)
    return small if way.crowded else large


def _sure(mark: CentreMark, first: Iterable[WordPlace], placer: Placer) -> _Found | None:
    """The place for what is tried first, if its best places tell it by themselves."""
    found, sure = _chosen(mark, (place for place in first if placer.is_free(place.box)), placer)
    return found if sure else None


def _beside(mark: CentreMark, one: _Try, placer: Placer, way: WordSetting) -> _Found | None:
    """The best free place round the hole."""
    boxes, anchors, tolls = places(mark, one.block, one.how)
    free = np.flatnonzero(placer.free(boxes, across=one.across))
    if not len(free):
        return None
    boxes, anchors = boxes[free], anchors[free]
    tolls = tolls[free] + astray(boxes, way.cell, way.own) + placer.doubt(boxes)
    order = np.argsort(tolls, kind="stable")[:_TRIED]
    rows = zip(tolls[order].tolist(), boxes[order].tolist(), anchors[order].tolist(), strict=True)
    return _chosen(mark, (WordPlace(toll, tuple(box), tuple(anchor)) for toll, box, anchor in rows), placer)[0]


def _chosen(mark: CentreMark, free: Iterable[WordPlace], placer: Placer) -> tuple[_Found | None, bool]:
    """The best of some free places, best first, with a leader if it needs one; and whether no further can be better."""
    best: tuple[float, _Found] | None = None
    own = (*mark.at, mark.clear)
    for toll, box, anchor in free:
        gap = dist(anchor, mark.at) - mark.clear
        sure = placer.nearer(box, own) if gap <= _LEADER_FROM else 0.0
        leader, cost = None, 0.0
        if sure < _PLAIN:
            drawn, outside = _leader(mark, anchor)
            crossed = placer.leader_cost(outside, drawn.a)
            if crossed is None and sure < _SURE:
                continue
            leader, cost = (None, 0.0) if crossed is None else (drawn, crossed)
        if best is None or toll + cost < best[0]:
            best = (toll + cost, (box, anchor, leader))
        if cost == 0.0:
            return best[1], True
    return (best[1] if best else None), False


def _leader(mark: CentreMark, anchor: Point) -> tuple[Line, Point]:
    """A line from the words to the rim of their hole, and where it comes clear of it."""
    d = dist(anchor, mark.at)
    u = ((anchor[0] - mark.at[0]) / d, (anchor[1] - mark.at[1]) / d)
    rim = (mark.at[0] + u[0] * mark.clear, mark.at[1] + u[1] * mark.clear)
    off = min(0.8, d - mark.clear - _BACK)
    outside = (rim[0] + u[0] * off, rim[1] + u[1] * off)
    return Line((anchor[0] - _BACK * u[0], anchor[1] - _BACK * u[1]), rim, DIMENSION), outside


def _inside(mark: CentreMark, one: _Try, placer: Placer) -> _Found | None:
    """The best place in a quarter of the hole itself, where no line runs; None if there is none."""
    found = quarters(mark, one.block)
    if found is None:
        return None
    boxes, corners, tolls = found
    free = np.flatnonzero(placer.free(boxes, inside=True))
    if not len(free):
        return None
    k = free[np.argmin(tolls[free])]
    return tuple(boxes[k].tolist()), tuple(corners[k].tolist()), None


def _written(block: WordBlock, box: Box, *, right: bool) -> list[Item]:
    start = box[0] if right else box[2]
    return [
        Text((start, box[3] - row.drop), row.text, row.size, TEXT, "start" if right else "end", bold=row.bold)
        for row in block.rows
    ]
