"""The board with its centres and their ordinates, in the manner of ISO 129-1: each measure from one zero."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.drafting.forms import outline_path
from app.drafting.outline_words import marked_words
from app.drafting.scaling import scaled
from app.drafting.words import unit_of
from app.model.resolved import ResolvedBoard
from app.paper.lists.block import Block
from app.scene.metrics import text_width
from app.scene.palette import TEXT, TEXT_MUTED
from app.scene.primitives import Circle, Group, Item, Line, Style, Text
from app.shop.centres import Centre, centres_of

_HIGH: Final = 105.0  # of the picture at most [mm]
_SIDE: Final = 15.0  # beside and below it, for ordinates [mm]
_SIZE: Final = 2.4
_PACE: Final = 2.9  # least gap between two ordinates [mm]
_MOST: Final = 60  # ordinates of one edge: of more, the table has them
_EDGE = Style(stroke="#23272b", width=0.3, role="outline")
_LEADER = Style(stroke="#8a8f94", width=0.1, role="leader")
_CROSS = Style(stroke="#23272b", width=0.18, role="centre")
_ZERO = Style(stroke="#23272b", width=0.5, role="datum")


def centres_block(board: ResolvedBoard, reading: float, left: float, width: float) -> Block:
    """The picture in a width [mm], ordinates along the left and front datum edges."""
    x0, y0, x1, y1 = board.outline.bounds
    k = min((width - _SIDE - 6.0) / (x1 - x0), _HIGH / (y1 - y0))
    deep = k * (y1 - y0)
    total = deep + _SIDE + 8.0

    def draw(top: float) -> list[Item]:
        ox, oy = left + _SIDE, top - 4.0 - deep
        centres = centres_of(board, reading)
        rings = (board.outline, *board.openings)
        edges = scaled((outline_path(ring, _EDGE) for ring in rings), k)
        items: list[Item] = [Group(edges, shift=(ox - k * x0, oy - k * y0))]
        for centre in centres:
            items += _cross(ox + k * centre.left, oy + k * centre.front, k * centre.width / 2)
        items += _letters(board, centres, k, ox, oy)
        items += _ordinates(centres, reading, board, k, (ox, oy))
        return items

    return Block(total, draw)


def _cross(x: float, y: float, radius: float) -> list[Item]:
    arm = max(0.8, min(radius + 0.6, 2.0))
    lines: list[Item] = [Line((x - arm, y), (x + arm, y), _CROSS), Line((x, y - arm), (x, y + arm), _CROSS)]
    return [*lines, Circle((x, y), radius, _LEADER)] if radius > 0.3 else lines


def _letters(board: ResolvedBoard, centres: Sequence[Centre], k: float, ox: float, oy: float) -> list[Item]:
    """A letter for each part, beside its first centre."""
    first: dict[str, Centre] = {}
    for centre in centres:
        first.setdefault(centre.placement, centre)
    labels = {placed.id: placed.label for placed in board.drilled}
    return [
        Text((ox + k * c.left + 1.1, oy + k * c.front + 1.0), labels[ident], _SIZE, TEXT, bold=True)
        for ident, c in first.items()
        if labels.get(ident)
    ]


def _ordinates(
    centres: Sequence[Centre], reading: float, board: ResolvedBoard, k: float, origin: tuple[float, float]
) -> list[Item]:
    unit = unit_of(board)
    ox, oy = origin
    items: list[Item] = [
        Line((ox, oy - _SIDE), (ox, oy), _ZERO),
        Line((ox - _SIDE, oy), (ox, oy), _ZERO),
        Text((ox, oy - _SIDE - 2.4), "0", _SIZE, TEXT_MUTED, "middle"),
        Text((ox - _SIDE - 1.0, oy - 0.8), "0", _SIZE, TEXT_MUTED, "end"),
    ]
    across = sorted({c.left_marked for c in centres})
    for true, at in zip(across, _spread([ox + k * v for v in across]), strict=True):
        x = ox + k * true
        items += [Line((x, oy), (x, oy - 3.0), _LEADER), Line((x, oy - 3.0), (at, oy - 6.0), _LEADER)]
        words = marked_words(true, reading, unit)
        items.append(Text((at + 0.8, oy - 6.6 - text_width(words, _SIZE)), words, _SIZE, TEXT, angle=90.0))
    deep = sorted({c.front_marked for c in centres})
    for true, at in zip(deep, _spread([oy + k * v for v in deep]), strict=True):
        y = oy + k * true
        items += [Line((ox, y), (ox - 3.0, y), _LEADER), Line((ox - 3.0, y), (ox - 6.0, at), _LEADER)]
        items.append(Text((ox - 6.5, at - 0.8), marked_words(true, reading, unit), _SIZE, TEXT, "end"))
    return items


def _spread(places: Sequence[float]) -> list[float]:
    """Places moved apart as little as need be, in their order, so that words beside them do not meet."""
    if len(places) > _MOST:
        return list(places)
    groups: list[tuple[float, int]] = []  # middle, and how many
    for place in places:
        groups.append((place, 1))
        while len(groups) > 1:
            (a, m), (b, n) = groups[-2:]
            if b - a >= _PACE * (m + n) / 2:
                break
            groups[-2:] = [((a * m + b * n) / (m + n), m + n)]
    return [middle + _PACE * (k - (many - 1) / 2) for middle, many in groups for k in range(many)]
