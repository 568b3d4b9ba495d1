"""The letter, size and counterbore beside each hole of a template."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.drafting.drill_template import Mark
from app.drafting.placer import CLASH, LINE, Box, Placer
from app.scene.metrics import ASCENT, DESCENT, text_width
from app.scene.palette import DIMENSION, TEXT
from app.scene.primitives import Item, Line, Text

_LETTER, _SIZE = 5.6, 3.8
_SMALL = 0.82
_ANGLES = (45.0, 135.0, -45.0, -135.0, 25.0, 155.0, 65.0, 115.0, -25.0, -155.0, -65.0, -115.0)
_GAPS = (1.2, 3.0, 5.5, 9.0, 13.0, 18.0, 24.0)
_LEADER_FROM = 5.0


@dataclass(frozen=True, slots=True)
class _Block:
    """Lines of words as one block: its size [mm], and each line's text, size and drop below the top."""

    width: float
    height: float
    lines: tuple[tuple[str, float, bool, float], ...]


def set_words(mark: Mark, placer: Placer, own: int) -> list[Item]:
    """The words of one hole, in the best free place near it; shorter or smaller where room is scarce.

    Args:
        mark: what to write and where the hole is.
        placer: what is taken already; the chosen place is taken from it.
        own: index of the hole's own disc in the placer.
    """
    best: tuple[float, Box, _Block, tuple[float, float]] | None = None
    for k, block in enumerate(_blocks(mark)):
        boxes, anchors, tolls = _places(mark, block)
        index, cost = placer.choose(boxes, tolls)
        if best is None or cost < best[0]:
            best = (cost, boxes[index], block, anchors[index])
        if cost < (LINE if k == 0 else CLASH):  # smaller before across a line; fewer only before over another thing
            break
    if best is None or best[0] >= CLASH:
        inside = _inside(mark, placer, own)
        if inside is not None:
            return inside
    if best is None:
        return []
    _, box, block, anchor = best
    placer.take(box)
    items = _written(block, box, right=anchor[0] > mark.at[0])
    gap = math.dist(anchor, mark.at) - mark.clear
    if gap > _LEADER_FROM:
        d = math.dist(anchor, mark.at)
        u = ((anchor[0] - mark.at[0]) / d, (anchor[1] - mark.at[1]) / d)
        rim = (mark.at[0] + u[0] * (mark.clear + 0.4), mark.at[1] + u[1] * (mark.clear + 0.4))
        items.append(Line((anchor[0] - 0.6 * u[0], anchor[1] - 0.6 * u[1]), rim, DIMENSION))
    return items


def _blocks(mark: Mark) -> list[_Block]:
    """What can be written, the best first: all, all smaller, in one line each, the least."""
    found = [_block(mark.letter, mark.lines, 1.0), _block(mark.letter, mark.lines, _SMALL)]
    if len(mark.lines) > 1:
        found.append(_block("", (" ".join((f"{mark.letter} {mark.lines[0]}".strip(), *mark.lines[1:2])),), _SMALL))
    if mark.letter:
        found.append(_block("", (f"{mark.letter}  {mark.lines[0]}",), _SMALL))
    return found


def _block(letter: str, lines: tuple[str, ...], scale: float) -> _Block:
    rows: list[tuple[str, float, bool, float]] = []
    drop = width = 0.0
    for text, size, bold in [(letter, _LETTER, True)] * bool(letter) + [(t, _SIZE, False) for t in lines]:
        size *= scale
        drop += ASCENT * size + (DESCENT * rows[-1][1] if rows else 0.0)
        rows.append((text, size, bold, drop))
        width = max(width, text_width(text, size, bold))
    return _Block(width, drop + DESCENT * rows[-1][1], tuple(rows))


def _places(mark: Mark, block: _Block) -> tuple[list[Box], list[tuple[float, float]], list[float]]:
    """Boxes round the hole, the corner of each that is nearest to it, and how little each is liked."""
    boxes: list[Box] = []
    anchors: list[tuple[float, float]] = []
    tolls: list[float] = []
    for step, gap in enumerate(_GAPS):
        for rank, angle in enumerate(_ANGLES):
            c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
            x, y = mark.at[0] + c * (mark.clear + gap), mark.at[1] + s * (mark.clear + gap)
            x0 = x if c > 0 else x - block.width
            y0 = y if s > 0 else y - block.height
            boxes.append((x0, y0, x0 + block.width, y0 + block.height))
            anchors.append((x, y))
            tolls.append(4.0 * step + 0.2 * rank + (5.0 if s < 0 else 0.0))  # words above a hole read best
    return boxes, anchors, tolls


def _inside(mark: Mark, placer: Placer, own: int) -> list[Item] | None:
    """The letter and size in a quarter of the hole itself, where nothing else is free; None if it is too small."""
    words = mark.letter or mark.lines[0]
    block = _block(mark.letter, mark.lines[:1], _SMALL) if mark.letter else _block("", (words,), _SMALL)
    for candidate in (block, _block("", (words,), _SMALL)):
        if math.hypot(1.0 + candidate.width, 1.0 + candidate.height) > mark.clear - 0.6:
            continue
        x, y = mark.at
        w, h = candidate.width, candidate.height
        boxes: list[Box] = [
            (x + 1.0, y + 1.0, x + 1.0 + w, y + 1.0 + h),
            (x - 1.0 - w, y + 1.0, x - 1.0, y + 1.0 + h),
            (x + 1.0, y - 1.0 - h, x + 1.0 + w, y - 1.0),
            (x - 1.0 - w, y - 1.0 - h, x - 1.0, y - 1.0),
        ]
        index, cost = placer.choose(boxes, [0.0, 0.1, 0.2, 0.3], own)
        if cost < CLASH:
            placer.take(boxes[index])
            return _written(candidate, boxes[index], right=index in (0, 2))
    return None


def _written(block: _Block, box: Box, *, right: bool) -> list[Item]:
    start = box[0] if right else box[2]
    return [
        Text((start, box[3] - drop), text, size, TEXT, "start" if right else "end", bold=bold)
        for text, size, bold, drop in block.lines
    ]
