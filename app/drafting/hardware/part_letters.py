"""Letters of hardware: on the part where there is room, else below it; and how large a part is for them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from app.geometry.shapes import Shape
from app.model.resolved import Placed
from app.scene.metrics import CAP_HEIGHT, fitting_size, text_width
from app.scene.palette import TEXT
from app.scene.primitives import Point, Style, Text

LETTER = 8.5
"""Letters on a part at the scale of a full screen [mm]."""

_BELOW: Final = frozenset({"toggle", "lock", "socket", "pattern"})
"""Kinds with their letter below them."""


_BEHIND: Final = frozenset({"fan", "speaker"})
"""Kinds that are seen through an opening, with their letter on the hub, if they have one."""


def main_shape(placed: Placed) -> Shape:
    """The main cut-out at its place, for a pattern one in its middle; the flange or body of a part that needs none."""
    if placed.part.is_pattern:
        return Shape(((placed.x, placed.y),), placed.part.cutouts[0].shape.radius)
    return placed.holes[0].shape if placed.holes else placed.flange or placed.body


def seen_shapes(placed: Placed, most: int = 6000) -> tuple[Shape, ...]:
    """What is seen of it from above, at its place: its flange, else every hole.

    Of a pattern of more holes than ``most`` only what lies round all of them, for a picture too small to tell them
    apart.
    """
    if placed.flange is not None or not placed.holes:
        return (placed.flange or main_shape(placed),)
    pattern = placed.part.pattern
    if pattern is not None and len(placed.holes) > most:
        return (placed.place(pattern.hull),)
    return tuple(hole.shape for hole in placed.holes)


def hides_behind(placed: Placed) -> bool:
    """Whether a part hangs below with no opening of its own about its middle: nothing of it is seen from above."""
    at = placed.x, placed.y
    opened = any(math.dist(hole.centre, at) < hole.shape.reach for hole in placed.holes)
    return placed.part.mount == "under" and placed.part.has_body and placed.flange is None and not opened


def rim_radius(placed: Placed) -> float:
    """Radius of what shows on the top face round the part's origin [mm]: for halos and for pointing at it."""
    return max(placed.rim, 4.0)


def letter(at: Point, text: str, size: float, room: float, style: Style = TEXT) -> tuple[Text, ...]:
    """``text`` in bold, centred on ``at``, no wider and hardly higher than ``room`` and at most ``size`` high [mm]."""
    if not text:
        return ()
    fitted = max(fitting_size(text, room, min(size, 1.1 * room), bold=True), 1.0)
    return (Text((at[0], at[1] - CAP_HEIGHT * fitted / 2), text, fitted, style, "middle", bold=True),)


def beside(placed: Placed, scale: float) -> tuple[Text, ...]:
    """The letter under the part, where the part leaves no room for it; of one that hides behind a pattern above it."""
    return letter(letter_below(placed, scale), placed.label, 0.75 * LETTER * scale, 40.0)


def letter_below(placed: Placed, scale: float) -> Point:
    """Where the letter of a part stands that has no room for it: under it, where that of a pattern is, but above it."""
    if hides_behind(placed):
        return (placed.x, placed.body.bounds[3] + 0.5625 * LETTER * scale)
    reach = max(rim_radius(placed), 2.5 * main_shape(placed).radius if placed.part.kind == "toggle" else 0.0)
    clear = 1.3 if placed.part.is_pattern else 0.5625  # the ring of what is selected lies close round a pattern
    return (placed.x, placed.y - reach - clear * LETTER * scale)


def letter_boxes(placements: Sequence[Placed], scale: float) -> list[tuple[float, float, float, float]]:
    """Rectangles round letters that reach beyond their parts on the top face, for words to avoid [mm]."""
    boxes = []
    for placed in placements:
        if not placed.label:
            continue
        if not placed.drill:
            (x, y), size, room = (placed.x, placed.y), LETTER * scale, 1.5 * least(placed.flange or main_shape(placed))
        elif placed.part.kind in _BELOW or (placed.part.kind in _BEHIND and hides_behind(placed)):
            (x, y), size, room = letter_below(placed, scale), 0.75 * LETTER * scale, 40.0
        else:
            continue
        half = min(text_width(placed.label, size, bold=True), room) / 2 + 0.2 * size
        boxes.append((x - half, y - 0.7 * size, x + half, y + 0.7 * size))
    return boxes


def least(shape: Shape) -> float:
    """Half the smaller side [mm]."""
    return min(shape.size) / 2
