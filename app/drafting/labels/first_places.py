"""The best places for the words of all holes of a sheet, weighed together: most words stand in one of them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

import numpy as np

from app.drafting.labels.hole_words import first_block
from app.drafting.labels.placer import Placer
from app.drafting.labels.word_places import Floats, Ints, Place, WordSetting, about, astray, rays
from app.drafting.template.drill_template import Mark

_FEW: Final = 28
"""Places of each hole that are weighed."""

_MOST: Final = 2_000_000
"""No more places and holes near them are looked at together, however many there are."""


def first_places(marks: Sequence[Mark], placer: Placer, ways: Sequence[WordSetting]) -> list[list[Place]]:
    """Of the places that are tried first for the words of each hole, the best ones, best first.

    Whether they are free is not asked. As many are given as are no worse than any that was not looked at.

    Args:
        marks: what is written beside each hole.
        placer: what is on the sheet.
        ways: how the words of each are set.
    """
    found: list[list[Place]] = []
    lot = max(1, _MOST // (_FEW * placer.holes))
    for first in range(0, len(marks), lot):
        found += _weighed(marks[first : first + lot], placer, ways[first : first + lot])
    return found


def _weighed(marks: Sequence[Mark], placer: Placer, ways: Sequence[WordSetting]) -> list[list[Place]]:
    liked, tolls, next_toll = _liked()
    blocks = [first_block(mark, way) for mark, way in zip(marks, ways, strict=True)]
    shapes = [about("near", b.width, b.height, mark.clear) for mark, b in zip(marks, blocks, strict=True)]
    at = np.array([mark.at for mark in marks])
    boxes = np.stack([shape[0][liked] for shape in shapes]) + np.hstack([at, at])[:, None]
    anchors = np.stack([shape[1][liked] for shape in shapes]) + at[:, None]
    against = tolls + placer.doubts(boxes)
    for row, way in enumerate(ways):
        against[row] += astray(boxes[row], way)
    order = np.lexsort((np.broadcast_to(liked, against.shape), against))
    rows = np.arange(len(marks))[:, None]
    listed = zip(
        against[rows, order].tolist(), boxes[rows, order].tolist(), anchors[rows, order].tolist(), strict=True
    )
    return [
        [Place(toll, tuple(box), tuple(anchor)) for toll, box, anchor in zip(*each, strict=True) if toll < next_toll]
        for each in listed
    ]


@lru_cache(maxsize=1)
def _liked() -> tuple[Ints, Floats, float]:
    """The places that are liked best, by their number, best first; their tolls; and that of the next one."""
    _, tolls = rays("near")
    order = np.argsort(tolls, kind="stable")
    return order[:_FEW], tolls[order[:_FEW]], float(tolls[order[_FEW]])
