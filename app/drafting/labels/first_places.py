"""The best places for the words of all holes of a sheet, weighed together: most words stand in one of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Final

import numpy as np

from app.drafting.labels.hole_words import first_block
from app.drafting.labels.placer import Placer
from app.drafting.labels.word_places import Floats, Ints, WordPlace, WordSetting, about, astray, rays
from app.drafting.template.pattern_marks import CentreMark

_FEW: Final = 28
"""Places of each hole that are weighed."""

_MOST: Final = 2_000_000
"""No more places and holes near them are looked at together, however many there are."""


def first_places(marks: Sequence[CentreMark], placer: Placer, ways: Sequence[WordSetting]) -> list[Iterator[WordPlace]]:
    """Of the places that are tried first for the words of each hole, the best ones, best first.

    Whether they are free is not asked. As many are given as are no worse than any that was not looked at.

    Args:
        marks: what is written beside each hole.
        placer: what is on the sheet.
        ways: how the words of each are set; all on the same sheet.
    """
    found: list[Iterator[WordPlace]] = []
    lot = max(1, _MOST // (_FEW * placer.holes))
    for first in range(0, len(marks), lot):
        found += _weighed(marks[first : first + lot], placer, ways[first : first + lot])
    return found


def _weighed(marks: Sequence[CentreMark], placer: Placer, ways: Sequence[WordSetting]) -> list[Iterator[WordPlace]]:
    liked, tolls, next_toll = _liked()
    blocks = [first_block(mark, way) for mark, way in zip(marks, ways, strict=True)]
    shapes = [_about(b.width, b.height, mark.clear) for mark, b in zip(marks, blocks, strict=True)]
    at = np.array([mark.at for mark in marks])
    boxes = np.array([shape[0] for shape in shapes]) + np.hstack([at, at])[:, None]
    anchors = np.array([shape[1] for shape in shapes]) + at[:, None]
    own = np.array([way.own for way in ways])
    against = tolls + placer.doubts(boxes) + astray(boxes, ways[0].cell, own[:, None])
    order = np.lexsort((np.broadcast_to(liked, against.shape), against))
    return [_given(*row, next_toll) for row in zip(order.tolist(), against, boxes, anchors, strict=True)]


def _given(order: list[int], tolls: Floats, boxes: Floats, anchors: Floats, next_toll: float) -> Iterator[WordPlace]:
    """The places of one hole that are better than any that was not looked at; mostly the first few are asked for."""
    for k in order:
        toll = float(tolls[k])
        if toll >= next_toll:
            return
        yield WordPlace(toll, tuple(boxes[k].tolist()), tuple(anchors[k].tolist()))


@lru_cache(maxsize=2048)
def _about(width: float, height: float, clear: float) -> tuple[Floats, Floats]:
    """The boxes and corners that are liked best."""
    boxes, anchors = about("near", width, height, clear)
    liked, _, _ = _liked()
    return boxes[liked], anchors[liked]


@lru_cache(maxsize=1)
def _liked() -> tuple[Ints, Floats, float]:
    """The places that are liked best, by their number, best first; their tolls; and that of the next one."""
    _, tolls = rays("near")
    order = np.argsort(tolls, kind="stable")
    return order[:_FEW], tolls[order[:_FEW]], float(tolls[order[_FEW]])
