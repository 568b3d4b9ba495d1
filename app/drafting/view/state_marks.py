"""Marks for the states of a part, each of a form of its own, so that none needs its colour to be known.

Selected: a ring with a pale edge on both sides. In hand: the same with four corner pieces. Locked: a padlock at the
lower right. Accepted: a tick in a disc at the lower left. Not drilled: the rim dashed, slanting lines over it.
What is wrong has rings of its own (:mod:`app.drafting.view.finding_marks`); hover and focus belong to the stylesheet.
"""

from __future__ import annotations

import math
from typing import Final

from app.drafting.forms import polyline, rounded_box
from app.scene.curves import at_angle
from app.scene.palette import HALO_SELECTED, IN_HAND, INK
from app.scene.primitives import Arc, Circle, Item, Line, Point, Style

BADGE: Final = 4.0
"""Half the height of a badge at the scale of a full screen [mm]."""

CASING = Style(stroke="#fffdf7", width=2.6, opacity=0.8, role="halo-casing")
_HATCH = Style(stroke=INK, width=0.4, opacity=0.7, role="not-drilled")
_PLATE = Style(stroke=INK, width=0.35, fill="#fffdf7", role="badge")
_LOCK_BODY = Style(stroke=None, fill=INK, role="lock-body")
_LOCK_BOW = Style(stroke=INK, width=0.55, role="lock-bow")
_TICK = Style(stroke=INK, width=0.6, role="tick")


def selected_ring(at: Point, radius: float, scale: float, *, in_hand: bool) -> tuple[Item, ...]:
    """A ring round a selected part, and corner pieces if it is the one in hand.

    Args:
        at: middle of the part [mm].
        radius: of what shows of it [mm].
        scale: size of thin details against their size on a board 640 mm wide.
        in_hand: whether it is the one whose row is cut and whose measures are shown.
    """
    r = radius + 2.2 * scale
    ring: tuple[Item, ...] = (Circle(at, r, CASING), Circle(at, r, HALO_SELECTED))
    if not in_hand:
        return ring
    reach, arm = r + 1.6 * scale, 3.4 * scale
    x, y = at
    corners = [
        polyline(
            [
                (x + sx * (reach - arm), y + sy * reach),
                (x + sx * reach, y + sy * reach),
                (x + sx * reach, y + sy * (reach - arm)),
            ],
            style,
        )
        for style in (CASING, IN_HAND)
        for sx, sy in ((1, 1), (-1, 1), (-1, -1), (1, -1))
    ]
    return (*ring, *corners)


def not_drilled(at: Point, radius: float) -> tuple[Item, ...]:
    """Slanting lines over a place that is not drilled, clear of the letter in its middle; ``radius`` in mm."""
    lines = []
    for off in (-0.78, -0.5, 0.5, 0.78):
        half = math.degrees(math.acos(off))
        lines.append(Line(at_angle(at, radius, 135.0 - half), at_angle(at, radius, 135.0 + half), _HATCH))
    return tuple(lines)


def locked_badge(at: Point, half: Point, scale: float) -> tuple[Item, ...]:
    """A padlock at the lower right of a part that may not be moved, inside the box round it.

    Inside, so that the middle of all that is drawn stays the middle of the part; ``half`` is half its sides in mm.
    """
    b = min(BADGE * scale, 0.45 * min(half))
    x, y = at[0] + half[0] - b, at[1] - half[1] + b
    body = rounded_box((x - 0.46 * b, y - 0.52 * b, x + 0.46 * b, y + 0.12 * b), 0.1 * b, _LOCK_BODY)
    return (Circle((x, y), b, _PLATE), body, Arc((x, y + 0.12 * b), 0.3 * b, 0.0, 180.0, _LOCK_BOW))


def accepted_badge(at: Point, radius: float, scale: float) -> tuple[Item, ...]:
    """A tick on the lower left of the rim of a part of which something has been accepted as it is."""
    b = BADGE * scale
    x, y = at_angle(at, radius + 0.3 * b, -135.0)
    tick = [(x - 0.45 * b, y), (x - 0.1 * b, y - 0.36 * b), (x + 0.48 * b, y + 0.4 * b)]
    return (Circle((x, y), b, _PLATE), polyline(tick, _TICK))
