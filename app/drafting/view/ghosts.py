"""Parts where they would be: ghosts, with arrows from where they are and figures."""

from __future__ import annotations

import math
from collections.abc import Sequence

from app.drafting.hardware.part_letters import rim_radius
from app.drafting.labels.tags import TagSpace, around, tag, tag_size
from app.drafting.view.board_view import board_scene, view_scale
from app.geometry.shapes import Point
from app.model.resolved import Placed, ResolvedBoard
from app.scene.palette import LIGHT, TEXT_LIGHT
from app.scene.primitives import Circle, Group, Item, Line, LineTo, Path, Scene, Style
from app.units import Unit

_GHOST = Style(stroke=LIGHT["teal-deep"], width=0.8, dash=(2.4, 1.4), role="room-ghost")
_SHADE = Style(stroke=None, fill=LIGHT["teal-deep"], opacity=0.16, role="room-shade")
_SHAFT = Style(stroke=LIGHT["teal-deep"], width=0.9, role="arrow")
_HEAD = Style(stroke=None, fill=LIGHT["teal-deep"], role="arrow-head")
_TAG = Style(stroke=None, fill=LIGHT["teal-deep"], role="tag-room")

Move = tuple[str, Point, str]
"""Id of a placement, where it would be [mm], and how far that is, in words."""


def ghost_scene(board: ResolvedBoard, moves: Sequence[Move], *, unit: Unit) -> Scene:
    """The board from above with a ghost of every part that would move; what is wrong is left to words."""
    plain = board_scene(board, unit=unit, with_elevation=False)
    scale = view_scale(board)
    known = {placed.id: placed for placed in board.placements}
    items: list[Item] = []
    for ident, there, _ in moves:
        items += _arrow(known[ident], there, scale)
    discs = [(p.x, p.y, rim_radius(p)) for p in board.placements]
    discs += [(*there, rim_radius(known[ident])) for ident, there, _ in moves]
    x0, y0, x1, y1 = board.outline.bounds
    taken = TagSpace((x0 - 4 * scale, y0 + 1, x1 + 4 * scale, y1 + 8 * scale), discs)
    size = 5.6 * scale
    for ident, there, words in moves:
        clear = rim_radius(known[ident]) + 2.0 * scale
        items += tag(taken.best(around(there, clear, tag_size(words, size))), words, size, _TAG, TEXT_LIGHT)
    group = Group(tuple(items), name="ghosts", role="ghosts")
    return Scene(plain.x0, plain.y0, plain.x1, plain.y1, (*plain.items, group), title=f"{plain.title}, with room made")


def _arrow(placed: Placed, there: Point, scale: float) -> list[Item]:
    """The ghost of a part, and an arrow from its rim, as long as it moves or long enough to be seen.

    From the rim, because from the middle it would cover the letter, and a short one would be lost under it.
    """
    here, rim = (placed.x, placed.y), rim_radius(placed)
    far = math.dist(here, there)
    items: list[Item] = [Circle(there, rim, _SHADE), Circle(there, rim, _GHOST)]
    if far < 1e-9:
        return items
    u = ((there[0] - here[0]) / far, (there[1] - here[1]) / far)
    start, tip, head = rim, rim + max(far, 9.0 * scale), 3.2 * scale

    def along(by: float, aside: float = 0.0) -> Point:
        return (here[0] + u[0] * by - u[1] * aside, here[1] + u[1] * by + u[0] * aside)

    items.append(Line(along(start), along(tip - head), _SHAFT))
    wings = (LineTo(along(tip - head, 0.45 * head)), LineTo(along(tip - head, -0.45 * head)))
    items.append(Path(along(tip), wings, _HEAD, closed=True))
    return items
