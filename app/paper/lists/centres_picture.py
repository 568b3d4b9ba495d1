"""A face with its centres and their ordinates, in the manner of ISO 129-1: running dimensions, each from one zero.

The common origin is a small circle with a 0, and each value stands at the end of its own extension line, to be read
from the bottom or the right (from memory of the standard).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.drafting.facing import facing
from app.drafting.forms import outline_path
from app.drafting.outline_words import marked_words
from app.drafting.scaling import scaled
from app.drafting.words import unit_of
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.paper.lists.block import Block
from app.scene.metrics import text_width
from app.scene.palette import TEXT, TEXT_MUTED
from app.scene.primitives import Circle, Group, Item, Line, Scene, Style, Text
from app.shop.centres import Centre
from app.shop.rulings import ordinates
from app.units import Unit

_HIGH: Final = 105.0  # of the board at most [mm]
_LOW: Final = 62.0  # where both faces have a picture, so that one page holds them
_SIDE: Final = 19.0  # beside and below it, for ordinates [mm]
_ABOVE: Final = 7.0  # over it, for what the picture is
_SIZE: Final = 2.4
_PACE: Final = 2.9  # least gap between two ordinates [mm]
_CROWD: Final = 200  # centres, beyond which their crosses are small
_RING: Final = 0.8  # radius of the circle at the origin [mm]
_EDGE = Style(stroke="#23272b", width=0.3, role="outline")
_LEADER = Style(stroke="#8a8f94", width=0.1, role="leader")
_CROSS = Style(stroke="#23272b", width=0.18, role="centre")
_ZERO = Style(stroke="#23272b", width=0.35, role="datum")
_HEADS: Final = {
    "top": "Top face. Zero is the front left corner, where the datum edges meet.",
    "under": "UNDERSIDE, mirrored. Zero is at your left: the board’s right edge.",
}


def centres_block(
    board: ResolvedBoard,
    centres: Sequence[Centre],
    reading: float,
    face: Face,
    left: float,
    width: float,
    *,
    both: bool = False,
) -> Block:
    """The picture in a width [mm]: ordinates below it and at its left; lower if ``both`` faces have one."""
    x0, y0, x1, y1 = board.outline.bounds
    k = min((width - _SIDE - 6.0) / (x1 - x0), (_LOW if both else _HIGH) / (y1 - y0))
    total = _ABOVE + k * (y1 - y0) + _SIDE + 5.0

    def draw(top: float) -> list[Item]:
        origin = (left + _SIDE, top - _ABOVE - k * (y1 - y0))
        return [
            Text((left, top - 3.4), _HEADS[face], _SIZE + 0.5, TEXT, bold=face == "under"),
            *_board(board, face, k, origin),
            *(item for centre in centres for item in _cross(centre, k, origin, small=len(centres) > _CROWD)),
            *_letters(board, centres, k, origin),
            *_across(centres, reading, unit_of(board), k, origin, (x1 - x0) * k),
            *_deep(centres, reading, unit_of(board), k, origin, (y1 - y0) * k),
        ]

    return Block(total, draw)


def centres_scene(board: ResolvedBoard, centres: Sequence[Centre], reading: float, face: Face) -> Scene:
    """The same by itself, for a screen."""
    width = 190.0
    block = centres_block(board, centres, reading, face, 2.0, width - 4.0)
    title = f"{board.name}, {'underside' if face == 'under' else 'top face'}: every centre from one zero"
    return Scene(0.0, 0.0, width, block.height, tuple(block.draw(block.height)), title=title)


def _board(board: ResolvedBoard, face: Face, k: float, origin: tuple[float, float]) -> list[Item]:
    x0, y0, _, _ = board.outline.bounds
    seen = facing(board, face)
    edges = scaled((outline_path(seen.outline(ring), _EDGE) for ring in (board.outline, *board.openings)), k)
    return [Group(edges, shift=(origin[0] - k * x0, origin[1] - k * y0))]


def _cross(centre: Centre, k: float, origin: tuple[float, float], *, small: bool) -> list[Item]:
    x, y, radius = origin[0] + k * centre.left, origin[1] + k * centre.front, k * centre.width / 2
    arm = min(0.8, max(radius, 0.3)) if centre.patterned or small else max(0.8, min(radius + 0.6, 2.0))
    lines: list[Item] = [Line((x - arm, y), (x + arm, y), _CROSS), Line((x, y - arm), (x, y + arm), _CROSS)]
    drawn = radius > 0.3 and centre.sort not in ("screw", "recess")
    return [*lines, Circle((x, y), radius, _LEADER)] if drawn else lines


def _letters(board: ResolvedBoard, centres: Sequence[Centre], k: float, origin: tuple[float, float]) -> list[Item]:
    """A letter for each part, beside its first centre, of a pattern beside its outermost; none over another.

    Letters that have no room are left out: the table has them all.
    """
    first: dict[str, tuple[float, float]] = {}
    for c in centres:
        x, y = first.get(c.placement, (c.left, c.front))
        first[c.placement] = (max(x, c.left), max(y, c.front)) if c.patterned else (x, y)
    labels = {placed.id: placed.label for placed in board.drilled}
    items: list[Item] = []
    rows: dict[int, list[tuple[float, float]]] = {}  # what is taken, by bands as high as a letter
    for ident, (left, front) in first.items():
        words = labels.get(ident, "")
        x, y = origin[0] + k * left + 1.1, origin[1] + k * front + 1.0
        band, wide = round(y / _SIZE), text_width(words, _SIZE, bold=True)
        taken = [span for near in (band - 1, band, band + 1) for span in rows.get(near, ())]
        if not words or any(x < b + 0.5 and a < x + wide + 0.5 for a, b in taken):
            continue
        rows.setdefault(band, []).append((x, x + wide))
        items.append(Text((x, y), words, _SIZE, TEXT, bold=True))
    return items


def _shown(centres: Sequence[Centre], values: Sequence[float], room: float) -> tuple[list[float], int]:
    """The ordinates that have room beside each other, and how many are left to the table.

    Holes of patterns but their outermost give way first; then every other of the rest.
    """
    most = max(2, int(room / _PACE))
    every = [at for at, _ in ordinates(values)]
    if len(every) <= most:
        return every, 0
    plain = [v for c, v in zip(centres, values, strict=True) if not c.patterned]
    many = [v for c, v in zip(centres, values, strict=True) if c.patterned]
    kept = sorted({*plain, *((min(many), max(many)) if many else ())})
    while len(kept) > most:
        kept = sorted({*kept[::2], kept[-1]}) if len(kept) > 3 else kept[:2]
    return kept, len(every) - len(kept)


def _across(
    centres: Sequence[Centre], reading: float, unit: Unit, k: float, origin: tuple[float, float], room: float
) -> list[Item]:
    ox, oy = origin
    kept, left_out = _shown(centres, [c.left_marked for c in centres], room)
    items: list[Item] = [
        Circle((ox, oy - 4.0), _RING, _ZERO),
        Line((ox, oy), (ox, oy - 4.0 + _RING), _ZERO),
        Line((ox, oy - 4.0 - _RING), (ox, oy - 6.0), _LEADER),
        Text((ox + 0.8, oy - 6.6 - text_width("0", _SIZE)), "0", _SIZE, TEXT, angle=90.0),
    ]
    # The words of the zero stand there already, and those after it keep clear of them.
    for true, at in zip(kept, _spread([ox + k * v for v in kept], ox + _PACE), strict=True):
        x, words = ox + k * true, marked_words(true, reading, unit)
        items += [Line((x, oy), (x, oy - 3.0), _LEADER), Line((x, oy - 3.0), (at, oy - 6.0), _LEADER)]
        items.append(Text((at + 0.8, oy - 6.6 - text_width(words, _SIZE)), words, _SIZE, TEXT, angle=90.0))
    return items if not left_out else [*items, *_left_out(left_out, (ox, oy - _SIDE - 1.5))]


def _deep(
    centres: Sequence[Centre], reading: float, unit: Unit, k: float, origin: tuple[float, float], room: float
) -> list[Item]:
    ox, oy = origin
    kept, _ = _shown(centres, [c.front_marked for c in centres], room)
    items: list[Item] = [
        Circle((ox - 4.0, oy), _RING, _ZERO),
        Line((ox, oy), (ox - 4.0 + _RING, oy), _ZERO),
        Line((ox - 4.0 - _RING, oy), (ox - 6.0, oy), _LEADER),
        Text((ox - 6.5, oy - 0.8), "0", _SIZE, TEXT, "end"),
    ]
    for true, at in zip(kept, _spread([oy + k * v for v in kept], oy + _PACE), strict=True):
        y = oy + k * true
        items += [Line((ox, y), (ox - 3.0, y), _LEADER), Line((ox - 3.0, y), (ox - 6.0, at), _LEADER)]
        items.append(Text((ox - 6.5, at - 0.8), marked_words(true, reading, unit), _SIZE, TEXT, "end"))
    return items


def _left_out(many: int, at: tuple[float, float]) -> list[Item]:
    words = f"{many:,} more distances from the left are in the table."
    return [Text(at, words, _SIZE, TEXT_MUTED)]


def _spread(places: Sequence[float], least: float) -> list[float]:
    """Places moved apart as little as need be, in their order, none before ``least``, so that no words meet."""
    groups: list[tuple[float, int]] = []  # middle, and how many
    for place in places:
        groups.append((place, 1))
        while True:
            middle, many = groups[-1]
            groups[-1] = (max(middle, least + _PACE * (many - 1) / 2), many)
            if len(groups) < 2:
                break
            (a, m), (b, n) = groups[-2:]
            if b - a >= _PACE * (m + n) / 2:
                break
            groups[-2:] = [((a * m + b * n) / (m + n), m + n)]
    return [middle + _PACE * (k - (many - 1) / 2) for middle, many in groups for k in range(many)]
